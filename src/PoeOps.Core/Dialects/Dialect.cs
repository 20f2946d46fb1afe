using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>How one family of devices speaks: what to send it, and how to read what comes back. Made from a dialect file by <c>DialectFile</c>.</summary>
public sealed record Dialect
{
    /// <summary>The family's name, by which an estate refers to it.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>The dialect that its file extends, as the file names it; empty where it stands alone.</summary>
    public string Extends { get; init; } = string.Empty;

    /// <summary>A line about the family for people.</summary>
    public string Title { get; init; } = string.Empty;

    /// <summary>The file that it was read from.</summary>
    public string SourcePath { get; init; } = string.Empty;

    /// <summary>The name of the text encoding of consoles and captures that have no byte-order mark; UTF-8 unless the file says otherwise.</summary>
    public string Encoding { get; init; } = "utf-8";

    /// <summary>How to hold a conversation.</summary>
    public ConsoleManners Console { get; init; } = new();

    /// <summary>What to send, per need, in order.</summary>
    public IReadOnlyDictionary<Need, IReadOnlyList<Ask>> Asks { get; init; } = new Dictionary<Need, IReadOnlyList<Ask>>();

    /// <summary>How to read answers and captures.</summary>
    public IReadOnlyList<Block> Blocks { get; init; } = [];

    /// <summary>Lines that carry nothing, wherever they stand (log lines in the middle, for one), each rule with a name.</summary>
    public IReadOnlyList<IgnoreRule> Ignore { get; init; } = [];

    /// <summary>How values are written, per property; a property that is not here is read as it stands.</summary>
    public IReadOnlyDictionary<string, ValueRule> Values { get; init; } = new Dictionary<string, ValueRule>(StringComparer.Ordinal);

    /// <summary>Texts that stand for nothing, such as a dash.</summary>
    public IReadOnlyList<string> Blanks { get; init; } = ["", "-"];

    /// <summary>Patterns with the groups <c>Unit</c> and <c>Port</c> that take a port's full name apart; empty where a row gives them itself.</summary>
    public IReadOnlyList<Regex> PortNames { get; init; } = [];

    /// <summary>How a firmware text becomes an ordered version.</summary>
    public VersionRule Firmware { get; init; } = new();

    /// <summary>How a software release becomes an ordered version.</summary>
    public VersionRule Release { get; init; } = new();

    /// <summary>Lines and what they must be read as, which the file brings along to test itself.</summary>
    public IReadOnlyList<DialectSample> Samples { get; init; } = [];

    /// <summary>How to refresh a unit, or null for a family that can only be read.</summary>
    public RefreshManners? Refresh { get; init; }
}

/// <summary>Something that a reading wants to know.</summary>
public enum Need
{
    /// <summary>The software release of the switch.</summary>
    Release,
    /// <summary>The units and their hardware.</summary>
    Units,
    /// <summary>The PSE controllers.</summary>
    Controllers,
    /// <summary>The PSE ports.</summary>
    Ports,
    /// <summary>Who hangs on the ports.</summary>
    Neighbours,
    /// <summary>How the ports are set.</summary>
    PortSettings,
    /// <summary>Whether a refresh is under way.</summary>
    Busy,
}

/// <summary>A line that carries nothing.</summary>
/// <param name="Name">What the rule is called in a report.</param>
/// <param name="Pattern">Matches the whole line.</param>
public sealed record IgnoreRule(string Name, Regex Pattern);

/// <summary>Lines of a block and what a row of them must give.</summary>
/// <param name="Block">The block's name.</param>
/// <param name="Lines">Its lines, the first of which begins the block.</param>
/// <param name="Fields">The properties of the last record, as they are printed.</param>
/// <param name="Line">Where it stands in the dialect file.</param>
public sealed record DialectSample(string Block, IReadOnlyList<string> Lines, IReadOnlyDictionary<string, string> Fields, int Line);
