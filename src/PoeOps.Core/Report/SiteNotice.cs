namespace PoeOps.Report;

/// <summary>What the people of a site are told of a plan: the same content for text and for a page. Made by <see cref="SiteNotices"/>.</summary>
public sealed record SiteNotice
{
    /// <summary>The site.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>The name of the notice's files, without what tells their kind; no two notices of a plan have the same.</summary>
    public string FileName { get; init; } = string.Empty;

    /// <summary>What stands over it.</summary>
    public string Title { get; init; } = string.Empty;

    /// <summary>Its parts in order.</summary>
    public IReadOnlyList<NoticePart> Parts { get; init; } = [];

    /// <summary>False where nobody said whom to call; the notice says so.</summary>
    public bool HasContact { get; init; }
}

/// <summary>A part of a notice.</summary>
/// <param name="Heading">What it is about.</param>
/// <param name="Sentences">What it says, a paragraph each.</param>
/// <param name="Items">What is listed behind that; empty where nothing is.</param>
public sealed record NoticePart(string Heading, IReadOnlyList<string> Sentences, IReadOnlyList<string> Items);
