using System.Globalization;
using Newtonsoft.Json.Linq;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Journal;

/// <summary>Reads journals back and checks that nothing in them was changed, taken out, put in or moved.</summary>
public static class JournalReplay
{
    /// <summary>Reads a journal.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    public static JournalReading Read(string path)
    {
        TextFileResult file = TextFile.Read(path);
        return file.Problem is { } problem ? new JournalReading([], [problem]) : Parse(file.Text!, path);
    }

    internal static JournalReading Parse(string text, string path)
    {
        List<JournalEntry> entries = [];
        List<Problem> problems = [];
        string[] lines = text.Split('\n');
        string previous = JournalLine.Start;
        for (int i = 0; i < lines.Length - 1; i++)
        {
            JObject? read = JournalLine.Read(lines[i], out bool genuine);
            JournalEntry? entry = read is null ? null : Entry(read, i + 1);
            Problem? wrong = Check(read, genuine, i + 1, previous);
            if (entry is null)
            {
                wrong = new Problem(ProblemId.JournalUnreadable, $"Line {Number(i + 1)} is no entry of a journal.", "Compare with a copy of the journal; what it said is not known.") { Text = Excerpt.Of(lines[i]) };
            }
            else
            {
                entries.Add(entry);
            }

            if (wrong is not null)
            {
                problems.Add(wrong with { File = path, Line = i + 1 });
            }

            previous = entry?.Sha256 ?? string.Empty;
        }

        if (lines[lines.Length - 1].Length > 0)
        {
            problems.Add(new Problem(ProblemId.JournalTorn, "The last line was not written to its end.", "The run that wrote it was cut short; what it was about to say is not known.")
            { File = path, Line = lines.Length, Text = Excerpt.Of(lines[lines.Length - 1]) });
        }

        return new JournalReading(entries, problems);
    }

    private static Problem? Check(JObject? read, bool genuine, int line, string previous)
    {
        if (read is null)
        {
            return null;
        }

        if (!genuine)
        {
            return Broken($"Line {Number(line)} was changed after it was written: its digest does not fit it.");
        }

        return previous.Length == 0 || (string?)read["previous"] == previous
            ? null
            : Broken($"Line {Number(line)} does not follow the line before it: a line was changed, taken out, put in or moved.");
    }

    private static Problem Broken(string sentence) => new(ProblemId.JournalChainBroken, sentence, "Do not rely on the journal from there on; compare with a copy, and with the devices.");

    private static JournalEntry? Entry(JObject read, int line)
    {
        if (read["facts"] is not JObject facts || !Enum.TryParse((string?)read["kind"], out RunEntryKind kind) || IsoText.Utc((string?)read["utc"]) is not { } utc)
        {
            return null;
        }

        Dictionary<string, string> values = facts.Properties().ToDictionary(property => property.Name, property => InWords(property.Value), StringComparer.Ordinal);
        return new JournalEntry
        {
            Line = line,
            Utc = utc,
            Kind = kind,
            Unit = (string?)read["unit"] ?? string.Empty,
            Text = string.Join("; ", values.Where(value => value.Value.Length > 0).Select(value => $"{value.Key}={value.Value}")),
            Sha256 = (string?)read["sha256"] ?? string.Empty,
            Facts = values,
        };
    }

    private static string InWords(JToken value) => value switch
    {
        JArray list => string.Join(", ", list.Select(item => item.ToString())),
        JValue { Type: JTokenType.Null } => string.Empty,
        JValue { Type: JTokenType.Boolean } flag => (bool)flag ? "true" : "false",
        JValue scalar => Convert.ToString(scalar.Value, CultureInfo.InvariantCulture) ?? string.Empty,
        _ => value.ToString(Newtonsoft.Json.Formatting.None),
    };

    private static string Number(int line) => line.ToString(CultureInfo.InvariantCulture);
}
