using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Finds dialects by their names in files and folders.</summary>
public sealed class DialectShelf
{
    private const int LongestPath = 200;

    private readonly IReadOnlyList<string> _places;

    /// <summary>Names the places, in the order in which they are searched.</summary>
    /// <param name="places">Dialect files, and folders that hold some; a place that is not there holds none.</param>
    public DialectShelf(IEnumerable<string> places) => _places = [.. places];

    /// <summary>The dialect files of all places, in order.</summary>
    public IReadOnlyList<string> Files =>
        [.. _places.SelectMany(FilesAt)];

    /// <summary>The names of all dialects, each once, to be offered while somebody writes a line: read without their rules. A file that cannot be read has none.</summary>
    public IReadOnlyList<string> Names =>
        [.. Files.Select(file => JsonSketch.Root(file) is { } root ? JsonSketch.Name(root, "name") : null).Where(name => name is not null).Select(name => name!).Distinct(StringComparer.OrdinalIgnoreCase)];

    private static IEnumerable<string> FilesAt(string place) => Directory.Exists(place)
        ? Directory.EnumerateFiles(place, "*.dialect.json").OrderBy(file => file, StringComparer.OrdinalIgnoreCase)
        : File.Exists(place) ? [place] : Enumerable.Empty<string>();

    /// <summary>Finds a dialect.</summary>
    /// <param name="name">Its name, without regard to case.</param>
    /// <returns>
    /// The first of that name; or its file's mistakes, where it has some; a file that is no JSON counts by its own name. Or
    /// <see cref="ProblemId.DialectUnknown"/>, which says where it was looked for, what is nearest, and which files could not be read.
    /// </returns>
    public DialectResult Find(string name)
    {
        List<string> known = [];
        List<string> unread = [];
        foreach (string file in Files)
        {
            DialectResult result = DialectFile.Read(file, _places);
            string called = result.Dialect?.Name ?? NameIn(file, unread) ?? Path.GetFileName(file).Split('.')[0];
            if (string.Equals(called, name, StringComparison.OrdinalIgnoreCase))
            {
                return result;
            }

            known.Add(called);
        }

        if (name.IndexOfAny(['/', '\\']) >= 0 || name.EndsWith(".json", StringComparison.OrdinalIgnoreCase))
        {
            return new DialectResult(null, [new Problem(
                ProblemId.DialectUnknown, $"There is no dialect file '{Excerpt.Of(name, LongestPath)}'.", "Correct the path, or give the name that stands in the file of one of the places where dialects are looked for.")]);
        }

        string where = _places.Count == 0 ? "nowhere" : $"in {string.Join(", ", _places)}";
        return new DialectResult(null, [new Problem(
            ProblemId.DialectUnknown,
            $"No dialect is called '{Excerpt.Of(name)}'{Nearest.Hint(name, known)}; it was looked for {where}.",
            $"Correct the name, or name the dialect's file or folder under 'dialects' in the estate.{Unread(unread)}")]);
    }

    // What a file with mistakes calls itself.
    private static string? NameIn(string file, List<string> unread)
    {
        if (JsonObjectReader.Open(file, [], controls: true) is { } root)
        {
            return root.Text("name");
        }

        unread.Add(file);
        return null;
    }

    private static string Unread(List<string> files) =>
        files.Count == 0 ? string.Empty : $" What cannot be read may be the one that is meant: {string.Join(", ", files.Select(file => $"'{file}'"))}; Test-PseDialect says what is wrong with it.";
}
