using System.Collections;
using System.Management.Automation;
using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Planning;

namespace PoeOps.Cmdlets.Completion;

/// <summary>What else stands on the line that somebody is writing: the files in which names are looked up. Nothing but these files is read.</summary>
internal sealed class GivenLine
{
    private static readonly string[] PlanParameters = ["Plan", "PlanPath"];
    private static readonly string[] JournalParameters = ["Journal", "Resume", "AfterJournal"];

    private readonly IDictionary _given;

    /// <summary>Takes the parameters that the line has so far.</summary>
    public GivenLine(IDictionary given) => _given = given;

    /// <summary>The names in the estate, the plan and the journals of the line.</summary>
    public EstateNames Names() => EstateNames.Union(
        [.. Files("Estate").Select(EstateNames.Read), .. PlanParameters.SelectMany(Files).Select(PlanNames.Read), .. JournalParameters.SelectMany(Files).Select(JournalNames.Read)]);

    /// <summary>The files that a parameter of the line names, as whole paths; none where it is not there or names none.</summary>
    public IEnumerable<string> Files(string parameter) => Values(parameter).SelectMany(OnDisk);

    private static IEnumerable<object> Each(object? value) => value switch
    {
        null => [],
        PSObject wrapped when wrapped.BaseObject is not PSCustomObject => Each(wrapped.BaseObject),
        string text => [text],
        FileInfo file => [file.FullName],
        IEnumerable list => list.Cast<object?>().SelectMany(Each),
        _ => [value],
    };

    private IEnumerable<object> Values(string parameter) =>
        _given.Keys.Cast<object>().Where(key => string.Equals(key.ToString(), parameter, StringComparison.OrdinalIgnoreCase)).SelectMany(key => Each(_given[key]));

    private static IEnumerable<string> OnDisk(object value)
    {
        if (value.ToString() is not { Length: > 0 } path)
        {
            return [];
        }

        using var shell = PowerShell.Create(RunspaceMode.CurrentRunspace);
        shell.AddCommand("Microsoft.PowerShell.Utility\\Get-Variable").AddParameter("Name", "ExecutionContext").AddParameter("ValueOnly");
        SessionState? session = shell.Invoke<EngineIntrinsics>().FirstOrDefault()?.SessionState;
        string? found = session?.Path.GetUnresolvedProviderPathFromPSPath(path, out ProviderInfo provider, out _) is { } whole && provider.Name == "FileSystem" ? whole : null;
        return found is null ? [] : [found];
    }
}
