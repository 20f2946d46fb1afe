using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;

namespace PoeOps.Core.Tests.Baselines;

public sealed class BaselineFileTests : IDisposable
{
    private const string Octets = "Write the octets as 'text' of printable ASCII, or as 'hex' of two hexadecimal digits each, one of the two; they end within the first 4096 octets.";

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Every_key_of_a_baseline_is_read()
    {
        BaselineResult result = Read(SampleBaseline.Text);
        Assert.Empty(Told.Of(result.Problems));
        Assert.Equal("winter", result.Baseline!.Name);
        BaselineEntry entry = result.Baseline.Entries[0];
        Assert.Equal(("Reef-24", "7.2", "8", "3.10.2", 5), (entry.Model, entry.ReleaseFrom, entry.ReleaseBefore, entry.Firmware, entry.Line));
        Assert.Equal(new ImageSpec("reef-3.10.2.img", 4096, "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef", "reef") { Mark = new HeaderMark(4, "52454546") }, entry.Image);
        Assert.Equal([null, new HeaderMark(0, "7f5245")], entry.Hops.Select(hop => hop.Image.Mark));
        Assert.Equal(new StageTime(10.5, 20), entry.Times.Of("Erase"));
        Assert.Equal(new StageTime(20, 40), entry.Times.Of("Gate"));
        Assert.Equal(["2.0 2.0.4", "3.0 3.0"], entry.Hops.Select(hop => $"{hop.Below} {hop.Firmware}"));
        Assert.Equal((null, null, "B12"), (result.Baseline.Entries[2].ReleaseFrom, result.Baseline.Entries[2].ReleaseBefore, result.Baseline.Entries[2].Firmware));
    }

    [Fact]
    public void A_hop_has_its_own_times_or_the_entrys_and_gates_have_a_default()
    {
        BaselineEntry entry = Read(SampleBaseline.Text).Baseline!.Entries[0];
        Assert.Equal(new StageTime(45, 90), entry.Hops[0].Times.Of("Program"));
        Assert.Equal(new StageTime(30, 60), entry.Hops[0].Times.Of("Gate"));
        Assert.Same(entry.Times, entry.Hops[1].Times);
    }

    [Fact]
    public void An_image_of_several_entries_stands_once_with_all_that_it_is_for()
    {
        Baseline baseline = Read(SampleBaseline.Text.Replace(
            "\"image\": { \"file\": \"kelp-b12.img\", \"bytes\": 512, \"sha256\": \"4", "\"image\": { \"file\": \"reef-4.1.img\", \"bytes\": 4096, \"sha256\": \"3")).Baseline!;
        Assert.Equal(
            ["reef-2.0.4.img: 2.0.4 for Reef-24", "reef-3.0.img: 3.0 for Reef-24", "reef-3.10.2.img: 3.10.2 for Reef-24", "reef-4.1.img: 4.1, B12 for Reef-24, Kelp-8"],
            baseline.ImageUses.Select(use => $"{use.Image.File}: {string.Join(", ", use.Firmware)} for {string.Join(", ", use.Models)}"));
        Assert.Equal(baseline.ImageUses.Select(use => use.Image), baseline.Images);
    }

    [Fact]
    public void An_entry_without_times_has_none() => Assert.Null(Read(SampleBaseline.Text).Baseline!.Entries[1].Times.Of("Erase"));

    [Theory]
    [InlineData("\"name\": \"winter\",", "\"nmae\": \"winter\",", new[]
    {
        "JsonMissingKey 1 -: The key 'name' is missing, and a text was expected in it. Add 'name' to the object that begins in this line.",
        "JsonUnknownKey 3 nmae: The key 'nmae' is not known here; the nearest is 'name'. The keys known here are $schema, name, entries.",
    })]
    [InlineData("\"bytes\": 4096, \"sha256\": \"0", "\"bytes\": 0, \"sha256\": \"0", new[] { "JsonBadValue 9 entries[0].image.bytes: Found the number 0 where a whole number of 1 to 9223372036854775807 was expected. Write a number within these bounds." })]
    [InlineData("\"bytes\": 4096, \"sha256\": \"0", "\"bytes\": \"4 kB\", \"sha256\": \"0", new[] { "JsonWrongType 9 entries[0].image.bytes: Found the text '4 kB' where a whole number was expected. Write a whole number there." })]
    [InlineData("\"0123456789abcdef0123", "\"0123456789abcdeg0123", new[] { "JsonBadValue 9 entries[0].image.sha256: '0123456789abcdeg0123456789ABCDEF0123456789abcdef0123456789ab…' is not a SHA-256 digest, which has 64 hexadecimal digits. Take the digest from whoever gave you the image, not from the file that you check." })]
    [InlineData("\"1123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef\"", "\"1123\"", new[] { "JsonBadValue 17 entries[0].hops[0].image.sha256: '1123' is not a SHA-256 digest, which has 64 hexadecimal digits. Take the digest from whoever gave you the image, not from the file that you check." })]
    [InlineData("reef-3.10.2.img", "../reef.img", new[] { "JsonBadValue 9 entries[0].image.file: '../reef.img' is not a plain file name that can be sent to a device. Give a plain file name of letters, digits, full stops, hyphens and underscores; the first is a letter or digit." })]
    [InlineData("reef-3.10.2.img", "reef.img; reboot", new[] { "JsonBadValue 9 entries[0].image.file: 'reef.img; reboot' is not a plain file name that can be sent to a device. Give a plain file name of letters, digits, full stops, hyphens and underscores; the first is a letter or digit." })]
    [InlineData("reef-3.10.2.img", "nul.img", new[] { "JsonBadValue 9 entries[0].image.file: 'nul.img' is a name that Windows keeps for a device. Give a plain file name of letters, digits, full stops, hyphens and underscores; the first is a letter or digit." })]
    [InlineData("reef-3.10.2.img", "Com1", new[] { "JsonBadValue 9 entries[0].image.file: 'Com1' is a name that Windows keeps for a device. Give a plain file name of letters, digits, full stops, hyphens and underscores; the first is a letter or digit." })]
    [InlineData("{ \"offset\": 4, \"text\": \"REEF\" }", "{ \"offset\": 4093, \"text\": \"REEF\" }", new[] { "JsonBadValue 9 entries[0].image.header: 'REEF' at offset 4093 is no mark of a header. " + Octets })]
    [InlineData("{ \"offset\": 4, \"text\": \"REEF\" }", "{ \"hex\": \"7f5\" }", new[] { "JsonBadValue 9 entries[0].image.header: '7f5' at offset 0 is no mark of a header. " + Octets })]
    [InlineData("{ \"offset\": 4, \"text\": \"REEF\" }", "{ \"text\": \"\" }", new[] { "JsonBadValue 9 entries[0].image.header: '' at offset 0 is no mark of a header. " + Octets })]
    [InlineData("{ \"offset\": 4, \"text\": \"REEF\" }", "{ \"text\": \"a\", \"hex\": \"61\" }", new[] { "JsonBadValue 9 entries[0].image.header: The header says its octets twice. " + Octets })]
    [InlineData("{ \"offset\": 4, \"text\": \"REEF\" }", "{ \"offset\": 4 }", new[] { "JsonBadValue 9 entries[0].image.header: The header says no octets. " + Octets })]
    [InlineData("{ \"offset\": 4, \"text\": \"REEF\" }", "{ \"text\": 5 }", new[] { "JsonWrongType 9 entries[0].image.header.text: Found the number 5 where a text was expected. Write a text there." })]
    [InlineData("\"typical\": 60, \"worst\": 120", "\"typical\": 60, \"worst\": 59.5", new[] { "JsonBadValue 11 entries[0].stageSeconds.Transfer.worst: The worst time of Transfer is 59.5 s, which is less than its typical 60 s. Give a worst time that is at least the typical one." })]
    [InlineData(", \"Verify\": { \"typical\": 5, \"worst\": 10 }\n      },", "\n      },", new[] { "JsonMissingKey 10 entries[0].stageSeconds: The key 'Verify' is missing, and an object was expected in it. Add 'Verify' to the object that begins in this line." })]
    [InlineData("\"Gate\"", "\"Recover\"", new[] { "JsonUnknownKey 11 entries[0].stageSeconds.Recover: The key 'Recover' is not known here; the nearest is 'Reset'. The keys known here are Gate, Transfer, Erase, Program, Reset, Verify." })]
    [InlineData("\"model\": \"Kelp-8\"", "\"model\": \"REEF-24\"", new[] { "BaselineEntriesOverlap 36 entries[2].model: The entry for model 'REEF-24', all releases, overlaps the one in line 5, releases from 7.2 before 8. Let the releases of one entry end where those of the other begin ('before' is not included)." })]
    [InlineData("\"from\": \"8\"", "\"from\": \"7.10\"", new[] { "BaselineEntriesOverlap 30 entries[1].model: The entry for model 'Reef-24', releases from 7.10, overlaps the one in line 5, releases from 7.2 before 8. Let the releases of one entry end where those of the other begin ('before' is not included)." })]
    [InlineData("\"before\": \"8\"", "\"before\": \"7.02\"", new string[0])] // 7.02 is another spelling: only a dialect can tell
    [InlineData("\"before\": \"8\"", "\"before\": \"7.2\"", new[] { "JsonBadValue 7 entries[0].releases: No release is from 7.2 and before 7.2. Let 'before' be newer than 'from'." })]
    [InlineData("\"firmware\": \"2.0.4\"", "\"firmware\": \"1.9\"", new[] { "HopsDoNotConnect 16 entries[0].hops[0].firmware: The hop to 1.9 is for controllers older than 2.0, and they still are after it. List the hops from the oldest to the newest, each with a firmware that is not older than its 'below' and older than what comes after it." })]
    [InlineData("\"firmware\": \"2.0.4\"", "\"firmware\": \"3.0.0\"", new[] { "HopsDoNotConnect 24 entries[0].hops[1].firmware: The hop to 3.0 comes after the hop to 3.0.0 and is not newer. List the hops from the oldest to the newest, each with a firmware that is not older than its 'below' and older than what comes after it." })]
    [InlineData("\"firmware\": \"3.10.2\"", "\"firmware\": \"3.0\"", new[] { "HopsDoNotConnect 24 entries[0].hops[1].firmware: The hop to 3.0 does not lead to the approved 3.0, which is not newer. List the hops from the oldest to the newest, each with a firmware that is not older than its 'below' and older than what comes after it." })]
    [InlineData("\"model\": \"Kelp-8\"", "\"model\": \"\"", new[] { "JsonBadValue 36 entries[2].model: The text of 'model' is empty. Write it as the device prints it." })]
    [InlineData("\"entries\": [", "\"entries\": {", new[] { "JsonSyntax 5 -: The text is no JSON at line 5, column 4: found '{' where a key in double quotes was expected. Correct the text there or just before it." })]
    public void A_mistake_is_told_whole(string right, string wrong, string[] told)
    {
        Assert.Contains(right, SampleBaseline.Text);
        BaselineResult result = Read(SampleBaseline.Text.Replace(right, wrong));
        Assert.Equal(told.Length > 0, result.Baseline is null);
        Assert.Equal(told, Told.Of(result.Problems));
    }

    [Fact]
    public void A_baseline_without_entries_approves_nothing() =>
        Assert.Equal(
            ["JsonBadValue 1 entries: The list of entries is empty, and at least one was expected. Add an entry for each hardware model."],
            Told.Of(Read("""{ "name": "x", "entries": [] }""").Problems));

    [Fact]
    public void All_mistakes_of_a_file_are_told_at_once() =>
        Assert.Equal(
            [ProblemId.JsonWrongType, ProblemId.JsonMissingKey, ProblemId.JsonBadValue, ProblemId.JsonBadValue],
            Read("""{ "name": 1, "entries": [ { "model": "x", "image": { "file": "a b", "bytes": 1.5, "sha256": "4123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef" } } ] }""").Problems.Select(problem => problem.Id));

    [Fact]
    public void Files_that_are_no_text_are_told_like_any_other()
    {
        Assert.Equal(ProblemId.FileNotFound, Assert.Single(BaselineFile.Read(_folder.Path("none.json")).Problems).Id);
        Assert.Equal(ProblemId.FileEmpty, Assert.Single(Read("").Problems).Id);
        Assert.Equal(ProblemId.FileNotUtf8, Assert.Single(BaselineFile.Read(_folder.Write("u.json", [0x7B, 0xFC, 0x7D])).Problems).Id);
        using (FileStream stream = new(_folder.Path("large.json"), FileMode.CreateNew))
        {
            stream.SetLength(200_000_000);
        }

        Assert.Equal(ProblemId.FileTooLarge, Assert.Single(BaselineFile.Read(_folder.Path("large.json")).Problems).Id);
    }

    private BaselineResult Read(string text) => BaselineFile.Read(_folder.Write("winter.baseline.json", text));
}
