using System.Globalization;
using System.Text;
using PoeOps.Files;

namespace PoeOps.Journal;

/// <summary>
/// Reads journals back and checks that nothing in them was changed, taken out, put in or moved. What a journal cannot show is that lines at its very
/// end were taken away: a run that ended says so in its last line.
/// </summary>
public static class JournalReplay
{
    // A file without a single entry in so many lines is something else, and is told once.
    private const int LinesToJudge = 20;

    private static readonly UTF8Encoding Strict = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <summary>Reads a journal, which a run may still be writing.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <returns>Every entry that can be read, and what is wrong; nothing is thrown for a bad file.</returns>
    public static JournalReading Read(string path)
    {
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            JournalReading reading = Parse(stream, path, out RawLine? last);
            return last is null ? new JournalReading([], [Empty(path)]) : reading;
        }
        catch (Exception exception) when (exception is FileNotFoundException or DirectoryNotFoundException)
        {
            return new JournalReading([], [new Problem(ProblemId.FileNotFound, $"The file '{path}' does not exist.", "Check the path and where it starts from.") { File = path }]);
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            return new JournalReading([], [new Problem(ProblemId.FileUnreadable, $"The file '{path}' cannot be read: {TextFile.OneSentence(exception)}", "Check that it is a file and that you may read it.") { File = path }]);
        }
    }

    /// <summary>Reads a journal from its first byte to its last.</summary>
    /// <param name="stream">The file from its start.</param>
    /// <param name="path">How problems name it.</param>
    /// <param name="last">The last line, whole or torn; null in an empty file.</param>
    internal static JournalReading Parse(Stream stream, string path, out RawLine? last)
    {
        List<JournalEntry> entries = [];
        List<Problem> problems = [];
        string? previous = JournalLine.Start;
        int number = 0;
        last = null;
        foreach (RawLine line in JournalBytes.Lines(stream))
        {
            number++;
            last = line;
            if (!line.Ended)
            {
                problems.Add(Torn(line) with { File = path, Line = number });
                break;
            }

            JournalEntry? entry = Take(line, number, ref previous, out Problem? wrong);
            if (entry is not null)
            {
                entries.Add(entry);
            }

            if (wrong is not null)
            {
                problems.Add(wrong with { File = path, Line = number });
            }

            if (entries.Count == 0 && number == LinesToJudge)
            {
                return new JournalReading([], [NoJournal(path)]);
            }
        }

        return new JournalReading(entries, problems);
    }

    /// <summary>What is wrong with a file that is no journal.</summary>
    internal static Problem NoJournal(string path) =>
        new(ProblemId.JournalUnreadable, $"The file '{path}' is no journal: no line at its start is an entry.", "Name a journal, or a file that is not there yet; this one is left as it is.") { File = path, Line = 1 };

    // previous is null after a line that says no digest: what follows it can only be checked from there on.
    private static JournalEntry? Take(RawLine line, int number, ref string? previous, out Problem? wrong)
    {
        string? text = Decode(line);
        bool genuine = false;
        JournalEntry? entry = text is null ? null : JournalLine.Read(text, number, out genuine);
        if (entry is null)
        {
            previous = null;
            wrong = Unreadable(line, number);
            return null;
        }

        wrong = !genuine ? Broken($"Line {Number(number)} was changed after it was written: its digest does not fit it.")
            : previous is not null && entry.Previous != previous ? Broken($"Line {Number(number)} does not follow the line before it: a line was changed, taken out, put in or moved.")
            : null;
        previous = entry.Sha256;
        return entry;
    }

    private static string? Decode(RawLine line)
    {
        try
        {
            return line.IsCut ? null : Strict.GetString(line.Bytes);
        }
        catch (DecoderFallbackException)
        {
            return null;
        }
    }

    private static Problem Broken(string sentence) => new(ProblemId.JournalChainBroken, sentence, "Do not rely on the journal from there on; compare with a copy, and with the devices.");

    private static Problem Unreadable(RawLine line, int number) =>
        new(ProblemId.JournalUnreadable, $"Line {Number(number)} is no entry of a journal.", "Compare with a copy of the journal; what it said is not known.") { Text = Shown(line) };

    private static Problem Torn(RawLine line) =>
        new(ProblemId.JournalTorn, "The last line was not written to its end.", "A run is writing it, or the run that wrote it was cut short; what it was about to say is not known.") { Text = Shown(line) };

    private static Problem Empty(string path) => new(ProblemId.FileEmpty, $"The file '{path}' has no content.", "Name the journal of a run that has begun.") { File = path };

    private static string Shown(RawLine line) => Excerpt.Of(Encoding.UTF8.GetString(line.Bytes, 0, Math.Min(line.Bytes.Length, 400)));

    private static string Number(int line) => line.ToString(CultureInfo.InvariantCulture);
}
