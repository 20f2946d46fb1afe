using System.Diagnostics;
using System.Security.Cryptography;
using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Journal;

/// <summary>A journal as a run opens it, writes on it and leaves it.</summary>
public sealed class JournalFileTests : JournalBench
{
    [Fact]
    public void A_torn_last_line_is_set_aside_and_the_journal_goes_on()
    {
        WriteThree();
        File.AppendAllText(Path, "{\"line\":4,\"utc");
        Assert.Equal(ProblemId.JournalTorn, Assert.Single(JournalReplay.Read(Path).Problems).Id);
        using (JournalFile journal = JournalFile.Open(Path))
        {
            journal.Write(Entry(RunEntryKind.RunEnded, "", 4));
        }

        Assert.True(JournalReplay.Read(Path).ChainHolds);
        Assert.Equal("{\"line\":4,\"utc\n", File.ReadAllText(Path + ".torn"));
    }

    [Fact]
    public void A_journal_that_got_no_entry_leaves_no_file()
    {
        JournalFile.Open(Path).Dispose();
        Assert.Empty(Directory.GetFileSystemEntries(Folder.FullPath));
    }

    [Fact]
    public void A_journal_that_was_there_stays_though_nothing_is_added()
    {
        WriteThree();
        JournalFile.Open(Path).Dispose();
        Assert.Equal(3, JournalReplay.Read(Path).Entries.Count);
    }

    [Theory]
    [InlineData("none/night.jsonl", "JournalNotWritable")]
    [InlineData("", "JournalNotWritable")]
    [InlineData("poem.txt", "JournalUnreadable")]
    [InlineData("night.journal.jsonl", null)]
    [InlineData("torn.jsonl", null)]
    [InlineData("new.jsonl", null)]
    public void A_check_tells_what_the_opening_would_and_writes_nothing(string name, string? id)
    {
        WriteThree();
        Folder.Write("poem.txt", "The tide is out.\n");
        Folder.Write("torn.jsonl", "{\"line\":1,\"utc");
        string[] before = [.. Directory.GetFiles(Folder.FullPath).Order(StringComparer.Ordinal)];
        string path = name.Length == 0 ? Folder.FullPath : Folder.Path(name);

        Problem? problem = JournalFile.Check(path);

        Assert.Equal(id, problem?.Id.ToString());
        Assert.Equal(before, Directory.GetFiles(Folder.FullPath).Order(StringComparer.Ordinal));
        Problem? thrown = Record.Exception(() => JournalFile.Open(path).Dispose()) is PoeOpsException exception ? exception.Problem : null;
        Assert.Equal(thrown, problem);
    }

    [Theory]
    [InlineData("/dev/full")]
    [InlineData("/dev/null")]
    [InlineData("/dev/zero")]
    [InlineData("link to /dev/full")]
    [InlineData("link to /dev/null")]
    [InlineData("link to /dev/zero")]
    [InlineData("pipe")]
    public void What_is_no_file_is_refused_at_once_and_leaves_no_lock(string what)
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        string path = what[0] == '/' ? what : Folder.Path("night");
        if (what == "pipe")
        {
            using Process made = Process.Start("mkfifo", [path]);
            made.WaitForExit();
        }
        else if (path != what)
        {
            File.CreateSymbolicLink(path, what["link to ".Length..]);
        }

        Problem problem = Assert.Throws<PoeOpsException>(() => JournalFile.Open(path)).Problem;
        Assert.Equal(ProblemId.JournalNotWritable, problem.Id);
        Assert.StartsWith($"The journal '{path}' cannot be written: {(what == "link to /dev/null" ? "Invalid argument" : "it is a device or a pipe, and a file was expected.")}", problem.Sentence, StringComparison.Ordinal);
        Assert.False(File.Exists(path + ".lock"));

        // An empty file and a link to what swallows everything look alike until something is done to them.
        Assert.Equal(what == "link to /dev/null" ? null : problem, JournalFile.Check(path));
    }

    [Fact]
    public void A_folder_that_is_not_there_is_told()
    {
        PoeOpsException exception = Assert.Throws<PoeOpsException>(() => JournalFile.Open(Folder.Path("none/night.jsonl")));
        Assert.Equal(ProblemId.JournalNotWritable, exception.Problem.Id);
    }

    [Fact]
    public void Two_runs_do_not_write_one_journal()
    {
        using JournalFile journal = JournalFile.Open(Path);
        Assert.Equal(ProblemId.JournalNotWritable, Assert.Throws<PoeOpsException>(() => JournalFile.Open(Path)).Problem.Id);
    }

    [Fact]
    public void The_lock_of_a_journal_names_who_writes_it_and_goes_with_it()
    {
        using (JournalFile journal = JournalFile.Open(Path))
        {
            Problem problem = Assert.Throws<PoeOpsException>(() => JournalFile.Open(Path)).Problem;
            Assert.StartsWith($"The journal '{Path}' cannot be written: it is being written by {Environment.UserName} on {Environment.MachineName}, process ", problem.Sentence, StringComparison.Ordinal);
            journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        }

        Assert.Equal([Path], Directory.GetFiles(Folder.FullPath));
    }

    [Fact]
    public void A_journal_can_be_read_while_it_is_being_written()
    {
        using JournalFile journal = JournalFile.Open(Path);
        journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        JournalReading reading = JournalReplay.Read(Path);
        Assert.True(reading.ChainHolds);
        Assert.Equal(RunEntryKind.RunBegan, Assert.Single(reading.Entries).Kind);
    }

    [Fact]
    public void A_journal_that_was_taken_away_under_the_run_is_told_and_not_written_into_nothing()
    {
        using JournalFile journal = JournalFile.Open(Path);
        journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        File.Delete(Path);
        PoeOpsException exception = Assert.Throws<PoeOpsException>(() => journal.Write(Entry(RunEntryKind.Begin, "north-1/2", 1)));
        Assert.Equal($"The journal '{Path}' cannot be written: The file is no longer there.", exception.Problem.Sentence);
    }

    [Fact]
    public void A_path_beneath_a_file_is_told_in_one_sentence()
    {
        string file = Folder.Write("plan.json", "{}");
        Problem problem = Assert.Throws<PoeOpsException>(() => JournalFile.Open(System.IO.Path.Combine(file, "night.jsonl"))).Problem;
        Assert.Equal(ProblemId.JournalNotWritable, problem.Id);
        Assert.EndsWith("cannot be written: its folder does not exist.", problem.Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("not a journal, and no line end")]
    [InlineData("{ \"plan\": 1 }")]
    [InlineData("one\ntwo\n")]
    [InlineData("one\ntwo")]
    public void A_file_that_is_no_journal_is_left_as_it_is(string text)
    {
        File.WriteAllText(Path, text);
        Assert.Equal(ProblemId.JournalUnreadable, Assert.Throws<PoeOpsException>(() => JournalFile.Open(Path)).Problem.Id);
        Assert.Equal(text, File.ReadAllText(Path));
        Assert.Equal([Path], Directory.GetFiles(Folder.FullPath));
    }

    [Theory]
    [InlineData("{")]
    [InlineData("{\"line\":1,\"utc\":\"2026-12-01T1")]
    public void The_beginning_of_a_first_line_is_set_aside_as_well(string torn)
    {
        File.WriteAllText(Path, torn);
        using (JournalFile journal = JournalFile.Open(Path))
        {
            Assert.Equal(Path + ".torn", journal.TornPath);
            journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        }

        Assert.True(JournalReplay.Read(Path).ChainHolds);
        Assert.Equal(torn + "\n", File.ReadAllText(Path + ".torn"));
    }

    [Fact]
    public void A_broken_journal_is_not_continued()
    {
        Forge(lines => lines.RemoveAt(1));
        byte[] before = File.ReadAllBytes(Path);
        Assert.Equal(ProblemId.JournalChainBroken, Assert.Throws<PoeOpsException>(() => JournalFile.Open(Path)).Problem.Id);
        Assert.Equal(before, File.ReadAllBytes(Path));
    }
}
