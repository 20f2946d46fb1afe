using System.Collections;
using System.Management.Automation;
using System.Management.Automation.Language;
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
    private readonly CommandAst? _line;

    /// <summary>Takes the parameters that the line has so far.</summary>
    /// <param name="given">Those whose values PowerShell itself works out.</param>
    /// <param name="line">The command as it stands there, for those whose values it does not.</param>
    public GivenLine(IDictionary given, CommandAst? line = null)
    {
        _given = given;
        _line = line;
    }

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

    private IEnumerable<object> Values(string parameter)
    {
        object[] known = [.. _given.Keys.Cast<object>().Where(key => string.Equals(key.ToString(), parameter, StringComparison.OrdinalIgnoreCase)).SelectMany(key => Each(_given[key]))];
        return known.Length > 0 ? known : Written(parameter);
    }

    // PowerShell works out no text with variables in it; in such texts stand the paths of scripts.
    private IEnumerable<object> Written(string parameter)
    {
        if (_line is null || Session() is not { } session)
        {
            return [];
        }

        StaticBindingResult bound = StaticParameterBinder.BindCommand(_line, resolve: true);
        return bound.BoundParameters.Where(one => string.Equals(one.Key, parameter, StringComparison.OrdinalIgnoreCase))
            .SelectMany(one => Texts(one.Value.Value)).Select(text => ShownPath.Of(text, session)).OfType<string>();
    }

    private static IEnumerable<ExpandableStringExpressionAst> Texts(Ast? value) => value switch
    {
        ExpandableStringExpressionAst text => [text],
        CommandParameterAst { Argument: { } argument } => Texts(argument),
        ArrayLiteralAst list => list.Elements.SelectMany(Texts),
        _ => [],
    };

    private static SessionState? Session()
    {
        using var shell = PowerShell.Create(RunspaceMode.CurrentRunspace);
        shell.AddCommand("Microsoft.PowerShell.Utility\\Get-Variable").AddParameter("Name", "ExecutionContext").AddParameter("ValueOnly");
        return shell.Invoke<EngineIntrinsics>().FirstOrDefault()?.SessionState;
    }

    private static IEnumerable<string> OnDisk(object value)
    {
        if (value.ToString() is not { Length: > 0 } path)
        {
            return [];
        }

        SessionState? session = Session();
        string? found = session?.Path.GetUnresolvedProviderPathFromPSPath(path, out ProviderInfo provider, out _) is { } whole && provider.Name == "FileSystem" ? whole : null;
        return found is null ? [] : [found];
    }
}
