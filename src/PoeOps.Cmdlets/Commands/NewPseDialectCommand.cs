using System.Management.Automation;
using PoeOps.Cmdlets.Completion;
using PoeOps.Dialects;
using PoeOps.Files;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Writes a dialect file to begin with: a skeleton in which a comment explains every key; or, from captures, a first draft in which every guess
/// is marked by a comment that says what it rests on. A guess may be wrong: each must be checked. What no guess covers stays unread.
/// </summary>
/// <example><code>New-PseDialect .\my.dialect.json</code><para>A skeleton to fill in.</para></example>
/// <example><code>New-PseDialect .\my.dialect.json -Capture .\captures\kelpline\*.txt; Test-PseDialect .\my.dialect.json .\captures\kelpline\*.txt -Summary</code><para>A first draft from captures, and how far it reads them.</para></example>
/// <remarks>
/// <para>The draft is written by what texts look like, and knows nothing of what they mean. Look at every GUESS in it, and compare what Test-PseDialect shows with the captures, before it reads a switch for a plan.</para>
/// </remarks>
/// <whatif>Says which file would be written and with how many guesses, and writes none. What would keep it from being written is an error.</whatif>
/// <confirm>Asks before the dialect file is written.</confirm>
/// <seealso cref="TestPseDialectCommand"/>
/// <seealso cref="SavePseCaptureCommand"/>
/// <seealso cref="ExportPseReportCommand"/>
/// <seealso topic="about_PoeOps_Dialects"/>
[Cmdlet(VerbsCommon.New, "PseDialect", SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(DialectDraft))]
public sealed class NewPseDialectCommand : PoeCommand
{
    private readonly List<string> _files = [];

    /// <summary>The dialect file to write, such as <c>my.dialect.json</c>; one that stands there is kept unless <c>-Force</c>.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    public string Path { get; set; } = string.Empty;

    /// <summary>The name of the family; what stands before the first dot of the file's name where not given.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string? Name { get; set; }

    /// <summary>Files that hold what a device printed; wildcards are allowed, and a file of that very name comes first. Without any, a skeleton is written.</summary>
    [Parameter(ValueFromPipeline = true)]
    [ValidateNotNullOrEmpty]
    public string[] Capture { get; set; } = [];

    /// <summary>The encoding of the captures, such as iso-8859-1, which the draft names then; utf-8 where not given.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    [ArgumentCompleter(typeof(EncodingCompleter))]
    public string Encoding { get; set; } = "utf-8";

    /// <summary>Replaces a file that stands there.</summary>
    [Parameter]
    public SwitchParameter Force { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord() => _files.AddRange(Capture.SelectMany(FilePaths));

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (MyInvocation.BoundParameters.ContainsKey(nameof(Capture)) && _files.Count == 0)
        {
            return;
        }

        string path = FilePath(Path);
        string name = Name ?? System.IO.Path.GetFileName(path).Split('.')[0];
        Problem? wrong = WholeFile.Check(path, Force);
        if (wrong is not null && !IsWhatIf)
        {
            Fail(wrong);
        }

        DialectDraft draft = _files.Count == 0 ? DialectDraft.Skeleton(name, Schema()) : Run(() => DialectDraft.FromCaptures(name, _files, Schema(), Encoding));
        if (draft.Text.Length == 0)
        {
            _ = Demand<DialectDraft>(null, draft.Problems);
        }

        WriteVerbose(_files.Count == 0 ? "Made a skeleton without any capture." : $"Read {Counted(_files.Count, "capture")}: {Counted(draft.Lines, "line")}, {draft.LinesCovered} of them covered by {Counted(draft.Guesses, "guess", "guesses")}.");
        WriteProblems(draft.Problems);
        if (ShouldProcess(path, $"Write a dialect with {Counted(draft.Guesses, "guess", "guesses")}"))
        {
            draft = Run(() => draft.Write(path, Force));
            TellWritten("the dialect", path);
        }
        else if (wrong is not null)
        {
            WriteProblem(wrong);
        }

        if (draft.Guesses > 0)
        {
            WriteWarning(FormattableString.Invariant($"The draft rests on {Counted(draft.Guesses, "guess", "guesses")}. Check every one: look for GUESS in the file, and compare what Test-PseDialect shows with the captures."));
        }

        WriteObject(draft);
    }

    private static string? Schema()
    {
        string bin = System.IO.Path.GetDirectoryName(typeof(NewPseDialectCommand).Assembly.Location)!;
        string schema = System.IO.Path.GetFullPath(System.IO.Path.Combine(bin, "..", "schemas", "poeops.dialect.schema.json"));
        return File.Exists(schema) ? schema : null;
    }
}
