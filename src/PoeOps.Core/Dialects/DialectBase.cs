using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>
/// Opens a dialect file and lays it over the one that it extends. <c>extends</c> is the path of a file, relative to the folder of the one that says it,
/// or the name of a dialect in that folder or in the places that are searched.
/// </summary>
internal sealed class DialectBase
{
    private const string Extends = "extends";
    private const string Suffix = ".json";

    private readonly IReadOnlyList<string> _places;
    private readonly IList<Problem> _problems;
    private readonly List<string> _chain = [];

    /// <summary>Prepares to open.</summary>
    /// <param name="places">Files and folders that are searched after the file's own folder.</param>
    /// <param name="problems">Where problems are added.</param>
    public DialectBase(IReadOnlyList<string> places, IList<Problem> problems)
    {
        _places = places;
        _problems = problems;
    }

    /// <summary>Opens a file.</summary>
    /// <returns>Its root with everything that it takes from others, or null where a file cannot be had.</returns>
    public JsonObjectReader? Open(string path)
    {
        if (JsonObjectReader.Open(path, _problems, controls: true) is not { } root)
        {
            return null;
        }

        _chain.Add(Path.GetFullPath(path));
        if (root.Text(Extends) is not { } named)
        {
            return root;
        }

        if (Find(root, path, named) is not { } below)
        {
            return null;
        }

        int before = _problems.Count;
        JsonObjectReader? lower = Open(below);
        if (lower is null && _problems.Count > before)
        {
            root.Report(ProblemId.DialectUnknown, Extends, $"The dialect '{Excerpt.Of(named)}' that it extends cannot be read from '{below}'.", "Correct that file first.");
        }

        return lower is null ? null : root.Over(lower);
    }

    private string? Find(JsonObjectReader root, string path, string named)
    {
        string folder = Path.GetDirectoryName(Path.GetFullPath(path)) ?? ".";
        string? found = named.EndsWith(Suffix, StringComparison.OrdinalIgnoreCase) ? FileAt(folder, named) : Named(folder, path, named);
        if (found is null)
        {
            root.Report(
                ProblemId.DialectUnknown, Extends, $"The dialect '{Excerpt.Of(named)}' that it extends was not found; it was looked for in {string.Join(", ", _places.Prepend(folder))}.",
                "Correct the name, or write the path of its file, relative to this one.");
            return null;
        }

        if (_chain.Contains(found, StringComparer.OrdinalIgnoreCase))
        {
            string way = string.Join(" extends ", _chain.Append(found).Select(Path.GetFileName));
            root.Report(ProblemId.JsonBadValue, Extends, $"The dialect extends itself: {way}.", "Let one of them stand alone.");
            return null;
        }

        return found;
    }

    private static string? FileAt(string folder, string named)
    {
        string path = Path.GetFullPath(Path.Combine(folder, named));
        return File.Exists(path) ? path : null;
    }

    // A file is called like its dialect as a rule, so that the others need not be read.
    private string? Named(string folder, string self, string named)
    {
        string[] files = [.. new DialectShelf(_places.Prepend(folder)).Files.Select(Path.GetFullPath).Where(file => !string.Equals(file, Path.GetFullPath(self), StringComparison.OrdinalIgnoreCase))];
        return files.FirstOrDefault(file => string.Equals(Path.GetFileName(file).Split('.')[0], named, StringComparison.OrdinalIgnoreCase))
            ?? files.FirstOrDefault(file => string.Equals(NameIn(file), named, StringComparison.OrdinalIgnoreCase));
    }

    private static string? NameIn(string file) => JsonObjectReader.Open(file, [], controls: true)?.Text("name");
}
