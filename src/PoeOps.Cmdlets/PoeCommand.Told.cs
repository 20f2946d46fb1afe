using System.Globalization;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Planning;

namespace PoeOps.Cmdlets;

/// <summary>The part that says, to whoever wants to follow, which files were read and written and what they hold.</summary>
public abstract partial class PoeCommand
{
    /// <summary>Says which file was read, and what stands in it.</summary>
    private protected void TellRead(string what, string path, string holds) => WriteVerbose($"Read {what} '{path}': {holds}.");

    /// <summary>Says which file was written.</summary>
    private protected void TellWritten(string what, string path) => WriteVerbose($"Wrote {what} to '{path}'.");

    /// <summary>Says which estate was read.</summary>
    private protected void TellEstate(EstateMap estate, string path) =>
        TellRead("the estate", path, $"{Counted(estate.Switches.Count(), "switch", "switches")} at {Counted(estate.Sites.Count, "site")}");

    /// <summary>Says which plan was read.</summary>
    private protected void TellPlan(Plan plan, string path) => TellRead("the plan", path, $"{Counted(plan.Units.Count, "unit")}, and {Said(plan.Obstacles.Count)} that are not planned");

    /// <summary>Says which journal was read, and whether its chain holds.</summary>
    private protected void TellJournal(JournalReading journal, string path)
    {
        string chain = journal.ChainHolds ? "its chain holds" : $"its chain does not hold, with {Counted(journal.Problems.Count, "problem")}";
        TellRead("the journal", path, $"{Counted(journal.Entries.Count, "entry", "entries")}, and {chain}");
    }

    /// <summary>Says which dialect was read.</summary>
    private protected void TellDialect(Dialect dialect) =>
        TellRead("the dialect", dialect.SourcePath, $"'{dialect.Name}', with {Counted(dialect.Blocks.Count, "block")} and {Counted(dialect.Ignore.Count, "rule")} about what to ignore");

    /// <summary>A number of things, such as "1 unit" and "2 units".</summary>
    private protected static string Counted(int count, string one, string? many = null) => $"{Said(count)} {(count == 1 ? one : many ?? one + "s")}";

    private static string Said(int count) => count.ToString(CultureInfo.InvariantCulture);
}
