using System.Management.Automation;
using PoeOps.Journal;

namespace PoeOps.Cmdlets.Commands;

/// <summary>Reads the journal of a run and checks its chain: an altered, missing or torn line is an error that names the line.</summary>
/// <example><code>Get-PseJournal -Path .\night.journal.jsonl</code><para>Every entry of a night, in order.</para></example>
/// <example><code>Get-PseJournal .\night.journal.jsonl | Where-Object Kind -eq End</code><para>How each unit ended.</para></example>
/// <example><code>Get-ChildItem .\*.journal.jsonl | Get-PseJournal | Group-Object Kind -NoElement</code><para>How many entries of each kind some journals have.</para></example>
/// <remarks>
/// <para>A journal is never rewritten: each entry holds the SHA-256 of the one before, so that a line which was altered, taken out or added shows.</para>
/// <para>A run that has not ended, and each unit whose end is not written, is warned about.</para>
/// </remarks>
/// <seealso cref="InvokePseRefreshCommand"/>
/// <seealso cref="MeasurePseOutageCommand"/>
/// <seealso topic="about_PoeOps_StopAndResume"/>
/// <seealso topic="about_PoeOps_Refresh"/>
[Cmdlet(VerbsCommon.Get, "PseJournal", DefaultParameterSetName = "Path")]
[OutputType(typeof(JournalEntry))]
public sealed class GetPseJournalCommand : PoeCommand
{
    /// <summary>The journal; wildcards are allowed, and a file of that very name comes first.</summary>
    [Parameter(Mandatory = true, Position = 0, ParameterSetName = "Path", ValueFromPipeline = true, ValueFromPipelineByPropertyName = true)]
    public string[] Path { get; set; } = [];

    /// <summary>The journal, by its very name: no character stands for others. Files from the pipeline, and results of a refresh, are taken so.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "LiteralPath", ValueFromPipelineByPropertyName = true)]
    [Alias("JournalPath", "FullName", "PSPath")]
    public string[] LiteralPath { get; set; } = [];

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        foreach (string path in Path.SelectMany(FilePaths).Concat(LiteralPath.Select(FilePath)))
        {
            JournalReading reading = JournalReplay.Read(path);
            TellJournal(reading, path);
            WriteObject(reading.Entries, enumerateCollection: true);
            WriteProblems(reading.Problems);
            WarnOfOpenEnds(path, reading);
        }
    }

    private void WarnOfOpenEnds(string path, JournalReading reading)
    {
        if (reading.OpenRunLine is { } line)
        {
            WriteWarning($"The run that began in line {line} of '{path}' has not ended: it is under way, it broke off, or lines at the end were taken away.");
        }

        foreach (string unit in reading.OpenUnits)
        {
            WriteWarning($"{unit} was begun in '{path}' and how it ended is not known. Unless a run is at work on it now, look at the unit, or let Invoke-PseRefresh -Resume ask it, before anything is sent to it again.");
        }
    }
}
