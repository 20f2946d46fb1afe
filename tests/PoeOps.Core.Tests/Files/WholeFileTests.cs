using PoeOps.Files;

namespace PoeOps.Core.Tests.Files;

public sealed class WholeFileTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_file_is_written_as_UTF_8_without_a_mark_and_nothing_lies_beside_it()
    {
        WholeFile.Write(_folder.Path("a.json"), "ä\n", overwrite: false);
        Assert.Equal([0xC3, 0xA4, 0x0A], File.ReadAllBytes(_folder.Path("a.json")));
        Assert.Equal([_folder.Path("a.json")], Directory.GetFileSystemEntries(_folder.FullPath));
    }

    [Fact]
    public void A_file_that_stands_there_stays_unless_it_may_be_replaced()
    {
        string path = _folder.Write("a.json", "old");
        Problem problem = Refused(() => WholeFile.Write(path, "new", overwrite: false));
        Assert.Equal($"FileExists - -: The file '{path}' exists already. Choose another name, or say that it may be replaced (-Force).", Told.Of(problem));
        Assert.Equal("old", File.ReadAllText(path));

        WholeFile.Write(path, "new", overwrite: true);
        Assert.Equal("new", File.ReadAllText(path));
        Assert.Equal([path], Directory.GetFileSystemEntries(_folder.FullPath));
    }

    [Fact]
    public void A_folder_that_is_not_there_is_not_made()
    {
        string path = Path.Combine(_folder.Path("none"), "a.json");
        Problem problem = Refused(() => WholeFile.Write(path, "x", overwrite: true));
        Assert.Equal(
            $"FileNotWritable - -: The file '{path}' cannot be written: its folder does not exist. Check the folder, your rights in it and the space on the disk.", Told.Of(problem));
        Assert.Empty(Directory.GetFileSystemEntries(_folder.FullPath));
    }

    [Fact]
    public void A_folder_is_not_replaced_by_a_file()
    {
        Directory.CreateDirectory(_folder.Path("a.json"));
        Problem problem = Refused(() => WholeFile.Write(_folder.Path("a.json"), "x", overwrite: true));
        Assert.Equal(ProblemId.FileNotWritable, problem.Id);
        Assert.Contains("a folder stands there.", problem.Sentence);
    }

    [Fact]
    public void Of_many_who_write_the_same_new_file_at_once_one_leaves_all_of_its_text_and_the_others_nothing()
    {
        string path = _folder.Path("a.json");
        Problem?[] refusals = new Problem?[8];
        using Barrier start = new(refusals.Length);
        Thread[] writers = [.. refusals.Select((_, i) => new Thread(() =>
        {
            start.SignalAndWait();
            refusals[i] = Record.Exception(() => WholeFile.Write(path, new string((char)('a' + i), 100_000), overwrite: false)) is PoeOpsException thrown ? thrown.Problem : null;
        }))];
        Array.ForEach(writers, writer => writer.Start());
        Array.ForEach(writers, writer => writer.Join());

        Assert.Contains(refusals, problem => problem is null);
        Assert.All(refusals, problem => Assert.True(problem is null or { Id: ProblemId.FileExists }, problem?.ToString()));
        string text = File.ReadAllText(path);
        Assert.Null(refusals[text[0] - 'a']);
        Assert.Equal(new string(text[0], 100_000), text);
        Assert.Equal([path], Directory.GetFileSystemEntries(_folder.FullPath));
    }

    [Fact]
    public void A_name_that_leaves_no_room_for_a_temporary_one_is_a_problem_and_no_crash()
    {
        Assert.Equal(ProblemId.FileNotWritable, Refused(() => WholeFile.Write(_folder.Path(new string('n', 250)), "x", overwrite: false)).Id);
        Assert.Empty(Directory.GetFileSystemEntries(_folder.FullPath));
    }

    [Fact]
    public void A_path_that_is_none_is_a_problem_and_no_crash() =>
        Assert.Equal(ProblemId.FileNotWritable, Refused(() => WholeFile.Write("", "x", overwrite: false)).Id);

    private static Problem Refused(Action write) => Assert.Throws<PoeOpsException>(write).Problem;
}
