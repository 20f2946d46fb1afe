namespace PoeOps.Files;

/// <summary>Tells the kinds of our JSON files apart by keys that only one of them has.</summary>
internal static class FileKind
{
    private static readonly (string Kind, string[] Keys)[] Kinds =
    [
        ("an estate", ["sites"]),
        ("a baseline", ["entries"]),
        ("a plan", ["fingerprint"]),
        ("a dialect", ["console", "blocks", "extends"]),
    ];

    /// <summary>The problem that a file is one of another kind (<see cref="ProblemId.FileOfOtherKind"/>), in place of all that it has too much and too little then; or null.</summary>
    /// <param name="root">The root of the file.</param>
    /// <param name="expected">What was expected, such as <c>a plan</c>.</param>
    public static Problem? Other(JsonObjectReader root, string expected)
    {
        string[] found = [.. Kinds.Where(kind => kind.Keys.Intersect(root.Keys, StringComparer.Ordinal).Any()).Select(kind => kind.Kind)];
        return found.Length == 0 || found.Contains(expected) ? null
            : new Problem(ProblemId.FileOfOtherKind, $"The file is {found[0]}, and {expected} was expected.", $"Give the file of {expected} here.") { File = root.File };
    }

    /// <summary>Opens a file of a kind; adds what is wrong, and gives null where it cannot be one.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <param name="expected">What was expected.</param>
    /// <param name="problems">Where problems are added.</param>
    public static JsonObjectReader? Open(string path, string expected, IList<Problem> problems)
    {
        JsonObjectReader? root = JsonObjectReader.Open(path, problems);
        if (root is null || Other(root, expected) is not { } other)
        {
            return root;
        }

        problems.Add(other);
        return null;
    }
}
