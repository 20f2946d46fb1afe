using System.Text;
using System.Text.RegularExpressions;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>A journal as it is approved: an entry a line, and what differs from run to run struck out.</summary>
internal static partial class JournalText
{
    /// <summary>Writes the entries.</summary>
    /// <param name="entries">The journal's.</param>
    /// <param name="folder">The folder of the run, which stands in some sentences.</param>
    public static string Of(IEnumerable<JournalEntry> entries, string folder)
    {
        var text = new StringBuilder();
        string last = string.Empty;
        List<string> served = [];
        foreach (JournalEntry entry in entries)
        {
            string line = Line(entry).Replace(folder, "FOLDER", StringComparison.Ordinal);

            // How often a stage was looked at depends on the machine, and so does whether a transfer is noted before the stage that comes next.
            if (entry.Kind == RunEntryKind.Progress && line == last)
            {
                continue;
            }

            last = line;
            if (entry.Kind == RunEntryKind.Served)
            {
                served.Add(line);
                continue;
            }

            if (entry.Kind == RunEntryKind.End)
            {
                served.ForEach(one => text.Append(one).Append('\n'));
                served.Clear();
            }

            text.Append(line).Append('\n');
        }

        served.ForEach(one => text.Append(one).Append('\n'));
        return Holder().Replace(text.ToString(), "held by SOMEBODY,");
    }

    private static string Line(JournalEntry entry) => entry.Kind == RunEntryKind.LoadsBack
        ? $"{entry.Kind} {entry.Unit} {Numbers().Replace(entry.Text, "=*")}"
        : Times().Replace(Differs().Replace($"{entry.Kind} {entry.Unit} {entry.Text}".TrimEnd(), "$1=*"), "TIME");

    [GeneratedRegex(@"\b(host|user|process|sha256|server|client|transcript|seconds|darkSeconds|percent|speed|bytes|blocks|retransmissions|windowCloses|ports|ownSeconds|waitedSeconds)=[^;\n]*")]
    private static partial Regex Differs();

    [GeneratedRegex(@"=[0-9.]+")]
    private static partial Regex Numbers();

    [GeneratedRegex(@"held by [^;\n]*, process \d+,")]
    private static partial Regex Holder();

    [GeneratedRegex(@"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d+)?)?( UTC|Z)?")]
    private static partial Regex Times();
}
