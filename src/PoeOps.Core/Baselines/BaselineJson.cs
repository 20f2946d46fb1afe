using PoeOps.Files;

namespace PoeOps.Baselines;

/// <summary>Reads the keys of a baseline file.</summary>
internal static class BaselineJson
{
    /// <summary>Reads the root; mistakes are reported through the readers.</summary>
    public static Baseline Read(JsonObjectReader root, string path)
    {
        string name = root.Text("name", required: true) ?? string.Empty;
        IReadOnlyList<JsonObjectReader> readers = root.Objects("entries", required: true);
        BaselineEntry[] entries = [.. readers.Select(Entry)];
        if (root.Kind("entries") == JsonKind.List && root.Items("entries").Count == 0)
        {
            root.Report(ProblemId.JsonBadValue, "entries", "The list of entries is empty, and at least one was expected.", "Add an entry for each hardware model.");
        }

        EntryOverlap.Report(readers, entries);
        root.Close();
        return new Baseline { Name = name, SourcePath = path, Entries = entries };
    }

    private static BaselineEntry Entry(JsonObjectReader reader)
    {
        JsonObjectReader? releases = reader.Object("releases");
        StageTimes times = StageTimesJson.Read(reader) ?? StageTimes.None;
        var entry = new BaselineEntry
        {
            Model = Written(reader, "model"),
            ReleaseFrom = Bound(releases, "from"),
            ReleaseBefore = Bound(releases, "before"),
            Firmware = Written(reader, "firmware"),
            Image = Image(reader, marked: true),
            Times = times,
            Line = reader.Line,
        };
        releases?.Close();
        IReadOnlyList<JsonObjectReader> hops = reader.Objects("hops");
        entry = entry with { Hops = [.. hops.Select(hop => HopOf(hop, times))] };
        HopOrder.Report(hops, entry);
        reader.Close();
        return entry;
    }

    private static HopRule HopOf(JsonObjectReader reader, StageTimes entryTimes)
    {
        var hop = new HopRule
        {
            Below = Written(reader, "below"),
            Firmware = Written(reader, "firmware"),
            Image = Image(reader, marked: true),
            Times = StageTimesJson.Read(reader) ?? entryTimes,
        };
        reader.Close();
        return hop;
    }

    /// <summary>The image that an object has to be given under <c>image</c>; the same in every file that names one.</summary>
    /// <param name="owner">The object.</param>
    /// <param name="marked">True where the file may say how the family's images are known: a plan has no need of it.</param>
    internal static ImageSpec Image(JsonObjectReader owner, bool marked = false)
    {
        if (owner.Object("image", required: true) is not { } reader)
        {
            return new ImageSpec(string.Empty, 0, string.Empty, string.Empty);
        }

        string file = reader.Text("file", required: true) ?? string.Empty;
        if (reader.Kind("file") == JsonKind.Text && !PlainName.IsPlain(file))
        {
            string why = PlainName.IsDevice(file) ? "is a name that Windows keeps for a device" : "is not a plain file name that can be sent to a device";
            reader.Report(ProblemId.JsonBadValue, "file", $"'{Excerpt.Of(file)}' {why}.", PlainName.Advice);
        }

        string digest = reader.Text("sha256", required: true) ?? string.Empty;
        if (reader.Kind("sha256") == JsonKind.Text && !IsDigest(digest))
        {
            reader.Report(
                ProblemId.JsonBadValue, "sha256", $"'{Excerpt.Of(digest)}' is not a SHA-256 digest, which has 64 hexadecimal digits.",
                "Take the digest from whoever gave you the image, not from the file that you check.");
        }

        var image = new ImageSpec(file, reader.Long("bytes", required: true, least: 1) ?? 0, digest.ToLowerInvariant(), reader.Text("family") ?? string.Empty)
        {
            Mark = marked ? HeaderMarkJson.Read(reader) : null,
        };
        reader.Close();
        return image;
    }

    private static string? Bound(JsonObjectReader? releases, string key)
    {
        bool there = releases?.Has(key) == true;
        return there ? Written(releases!, key) : null;
    }

    private static string Written(JsonObjectReader reader, string key)
    {
        string? text = reader.Text(key, required: true);
        if (text is not null && string.IsNullOrWhiteSpace(text))
        {
            reader.Report(ProblemId.JsonBadValue, key, $"The text of '{key}' is empty.", "Write it as the device prints it.");
        }

        return (text ?? string.Empty).Trim();
    }

    private static bool IsDigest(string text) => text.Length == 64 && text.All(c => c is (>= '0' and <= '9') or (>= 'a' and <= 'f') or (>= 'A' and <= 'F'));
}
