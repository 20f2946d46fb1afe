using System.Collections.ObjectModel;
using System.Management.Automation;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Cmdlets;

/// <summary>What every cmdlet of the module does alike: stopping, problems to error records, paths.</summary>
public abstract partial class PoeCommand : PSCmdlet, IDisposable
{
    private readonly CancellationTokenSource _stop = new();

    /// <summary>True where nothing is to be changed.</summary>
    private protected bool IsWhatIf => MyInvocation.BoundParameters.TryGetValue("WhatIf", out object? bound)
        ? ((SwitchParameter)bound).IsPresent
        : LanguagePrimitives.IsTrue(GetVariableValue("WhatIfPreference"));

    /// <summary>True where a person answers: the question was not switched off on the line or for the whole session.</summary>
    private protected bool IsAttended => MyInvocation.BoundParameters.TryGetValue("Confirm", out object? bound)
        ? ((SwitchParameter)bound).IsPresent
        : !string.Equals(GetVariableValue("ConfirmPreference")?.ToString(), nameof(ConfirmImpact.None), StringComparison.OrdinalIgnoreCase);

    /// <summary>False where progress was switched off, on the line (which newer PowerShell knows) or for the session: then none is even reckoned.</summary>
    private protected bool ShowsProgress =>
        !IsSilent(MyInvocation.BoundParameters.TryGetValue("ProgressAction", out object? bound) ? bound : GetVariableValue("ProgressPreference"));

    /// <summary>True where somebody wants to see the bytes that go over the links.</summary>
    private protected bool ShowsDebug => MyInvocation.BoundParameters.TryGetValue("Debug", out object? bound)
        ? ((SwitchParameter)bound).IsPresent
        : !IsSilent(GetVariableValue("DebugPreference"));

    /// <summary>True where somebody wants to be told what is done.</summary>
    private protected bool ShowsVerbose => MyInvocation.BoundParameters.TryGetValue("Verbose", out object? bound)
        ? ((SwitchParameter)bound).IsPresent
        : !IsSilent(GetVariableValue("VerbosePreference"));

    /// <summary>Cancelled when the pipeline is stopped; everything that waits takes it.</summary>
    protected CancellationToken Stopped => _stop.Token;

    private static bool IsSilent(object? preference) => preference?.ToString() is { } word
        && (word.Equals(nameof(ActionPreference.SilentlyContinue), StringComparison.OrdinalIgnoreCase) || word.Equals(nameof(ActionPreference.Ignore), StringComparison.OrdinalIgnoreCase));

    /// <inheritdoc/>
    public void Dispose()
    {
        Dispose(disposing: true);
        GC.SuppressFinalize(this);
    }

    /// <summary>Releases what the cmdlet holds.</summary>
    /// <param name="disposing">True when called by <see cref="Dispose()"/>.</param>
    protected virtual void Dispose(bool disposing)
    {
        if (disposing)
        {
            _stop.Dispose();
        }
    }

    /// <inheritdoc/>
    protected override void StopProcessing() => _stop.Cancel();

    // Whatever a device or a file said, nothing that a terminal would act on comes out: every text that is shown goes through here.

    /// <summary>Warns, with nothing in it that a terminal would act on.</summary>
    /// <param name="text">What to say.</param>
    protected new void WriteWarning(string text) => base.WriteWarning(PlainText.Of(text));

    /// <summary>Says more where it is wanted, with nothing in it that a terminal would act on.</summary>
    /// <param name="text">What to say.</param>
    protected new void WriteVerbose(string text) => base.WriteVerbose(PlainText.Of(text));

    /// <summary>Says what only whoever looks for a fault wants to know, with nothing in it that a terminal would act on.</summary>
    /// <param name="text">What to say.</param>
    protected new void WriteDebug(string text) => base.WriteDebug(PlainText.Of(text));

    /// <summary>Asks, or says under -WhatIf what would be done.</summary>
    /// <param name="target">What it is done to.</param>
    /// <param name="action">What is done.</param>
    protected new bool ShouldProcess(string target, string action) => base.ShouldProcess(PlainText.Of(target), PlainText.Of(action));

    /// <summary>The same in sentences of our own.</summary>
    /// <param name="description">What is done, for -WhatIf.</param>
    /// <param name="question">The question; may have several lines.</param>
    /// <param name="caption">What stands over it.</param>
    protected new bool ShouldProcess(string description, string question, string caption) => base.ShouldProcess(PlainText.OfLines(description), PlainText.OfLines(question), PlainText.Of(caption));

    /// <summary>Asks.</summary>
    /// <param name="question">The question; may have several lines.</param>
    /// <param name="caption">What stands over it.</param>
    protected new bool ShouldContinue(string question, string caption) => base.ShouldContinue(PlainText.OfLines(question), PlainText.Of(caption));

    /// <summary>Warns past the pipeline, which was stopped and takes nothing any more.</summary>
    private protected void WarnHost(string text) => Host.UI.WriteWarningLine(PlainText.Of(text));

    /// <summary>Reports a problem and goes on.</summary>
    /// <param name="problem">What is wrong.</param>
    /// <param name="target">What it is about; the problem's own target or file where null.</param>
    protected void WriteProblem(Problem problem, object? target = null) => WriteError(ProblemRecord.Of(problem, target));

    /// <summary>Reports problems and goes on.</summary>
    protected void WriteProblems(IEnumerable<Problem> problems)
    {
        foreach (Problem problem in problems)
        {
            WriteProblem(problem);
        }
    }

    /// <summary>Reports a problem and ends the pipeline.</summary>
    protected void Fail(Problem problem, object? target = null) => ThrowTerminatingError(ProblemRecord.Of(problem, target));

    /// <summary>Gives the value that was read, or reports every problem in order and ends the pipeline with the last.</summary>
    /// <param name="value">What was read, or null.</param>
    /// <param name="problems">What is wrong with it.</param>
    protected T Demand<T>(T? value, IReadOnlyList<Problem> problems)
        where T : class
    {
        if (value is not null && problems.Count == 0)
        {
            return value;
        }

        Problem last = problems[problems.Count - 1];
        WriteProblems(problems.Take(problems.Count - 1));
        Fail(last);
        throw new PoeOpsException(last);
    }

    /// <summary>Runs a piece of the core that may throw a problem, and ends the pipeline with it.</summary>
    protected T Run<T>(Func<T> work)
    {
        Problem problem;
        try
        {
            return work();
        }
        catch (PoeOpsException exception)
        {
            problem = exception.Problem;
        }

        Fail(problem);
        throw new PoeOpsException(problem);
    }

    /// <summary>Reads the dialect that a path or a name on the line stands for; a file of that name comes first.</summary>
    /// <param name="name">What was given.</param>
    /// <param name="estate">The estate that may name more dialects; or null.</param>
    private protected DialectResult FindDialect(string name, EstateMap? estate = null)
    {
        string path = FilePath(name);
        DialectResult result = File.Exists(path) ? DialectFile.Read(path) : new DialectFinder(estate).Find(name);
        if (result.Dialect is { } dialect)
        {
            TellDialect(dialect);
        }

        return result;
    }

    /// <summary>The file of that very name, else the files that a path with wildcards stands for; a path that fits nothing is reported.</summary>
    protected IReadOnlyList<string> FilePaths(string path)
    {
        string literal = FilePath(path);
        if (File.Exists(literal) || !WildcardPattern.ContainsWildcardCharacters(path))
        {
            return [literal];
        }

        Collection<string> found = Resolved(path);
        if (found.Count == 0)
        {
            WriteProblem(new Problem(ProblemId.FileNotFound, $"No file fits '{path}'.", "Check the folder and the pattern."), path);
        }

        return found;
    }

    // A folder that does not exist holds no file that fits; PowerShell says so by an exception of its own.
    private Collection<string> Resolved(string path)
    {
        try
        {
            return SessionState.Path.GetResolvedProviderPathFromPSPath(path, out _);
        }
        catch (ItemNotFoundException)
        {
            return [];
        }
    }
}
