using System.Management.Automation;
using PoeOps.Calendar;
using PoeOps.Cmdlets.Completion;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Logs in to a switch, sends commands that only show something, and saves each answer twice: NAME.raw holds the bytes as they came, NAME.txt what a
/// reader would see, with the prompt and the command in its first line. A command that the dialect lists as changing something is refused before
/// anything is sent. With -Prompt no dialect is known, and nothing is listed: send what you know to change nothing. Secrets are struck out.
/// </summary>
/// <example><code>Save-PseCapture -Estate .\harbour.estate.json -Switch quay-1 -Send 'tell power', 'tell ports' -Path .\saved -Credential (Get-Credential)</code><para>Two answers of a switch of the estate.</para></example>
/// <example><code>Save-PseCapture -Address 192.0.2.7:2003 -Link Tcp -Prompt ' :: ready :: $' -UserPrompt 'Who calls\? $' -PasswordPrompt 'Secret word\? $' -Send 'tell units' -Path .\saved -Credential $c</code><para>From a console for which there is no dialect yet.</para></example>
/// <remarks>
/// <para>Secrets that were given are struck out of both files. Look through a capture all the same before you show it to somebody: a device may print what it likes.</para>
/// </remarks>
/// <whatif>Says how many commands would be sent to which switch and where their answers would be saved; nothing is reached, sent or written.</whatif>
/// <confirm>Asks before the switch is reached.</confirm>
/// <seealso cref="NewPseDialectCommand"/>
/// <seealso cref="TestPseDialectCommand"/>
/// <seealso cref="GetPseControllerCommand"/>
/// <seealso topic="about_PoeOps_Dialects"/>
/// <seealso topic="about_PoeOps_Secrets"/>
/// <seealso topic="about_PoeOps_Telnet"/>
[Cmdlet(VerbsData.Save, "PseCapture", DefaultParameterSetName = EstateSet, SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(SavedCapture))]
public sealed class SavePseCaptureCommand : LinkCommand
{
    private const string AddressSet = "Address";
    private const string AddressPromptSet = "AddressPrompt";
    private const string EstateSet = "Estate";
    private const string EstatePromptSet = "EstatePrompt";

    private static readonly Dictionary<string, string> LineEnds = new(StringComparer.OrdinalIgnoreCase) { ["cr"] = "\r", ["lf"] = "\n", ["crlf"] = "\r\n" };

    /// <summary>The console: a host, with a colon and a port behind it or not.</summary>
    [Parameter(Mandatory = true, ParameterSetName = AddressSet)]
    [Parameter(Mandatory = true, ParameterSetName = AddressPromptSet)]
    public string Address { get; set; } = string.Empty;

    /// <summary>How the console is spoken to.</summary>
    [Parameter(ParameterSetName = AddressSet)]
    [Parameter(ParameterSetName = AddressPromptSet)]
    public LinkKind Link { get; set; } = LinkKind.Telnet;

    /// <summary>The estate file that has the switch.</summary>
    [Parameter(Mandatory = true, ParameterSetName = EstateSet, ValueFromPipelineByPropertyName = true)]
    [Parameter(Mandatory = true, ParameterSetName = EstatePromptSet, ValueFromPipelineByPropertyName = true)]
    [Alias("EstatePath")]
    public string Estate { get; set; } = string.Empty;

    /// <summary>The switch, as the estate names it; with an address, what the files are called, its host where not given.</summary>
    [Parameter(Mandatory = true, ParameterSetName = EstateSet)]
    [Parameter(Mandatory = true, ParameterSetName = EstatePromptSet)]
    [Parameter(ParameterSetName = AddressSet)]
    [Parameter(ParameterSetName = AddressPromptSet)]
    [ValidateNotNullOrEmpty]
    [ArgumentCompleter(typeof(SwitchCompleter))]
    public string? Switch { get; set; }

    /// <summary>The dialect: a name, or the path of a dialect file. Of a switch of an estate its own, where not given.</summary>
    [Parameter(Mandatory = true, ParameterSetName = AddressSet)]
    [Parameter(ParameterSetName = EstateSet)]
    [ValidateNotNullOrEmpty]
    [ArgumentCompleter(typeof(DialectCompleter))]
    public string? Dialect { get; set; }

    /// <summary>Regular expressions for the prompt, where there is no dialect yet.</summary>
    [Parameter(Mandatory = true, ParameterSetName = AddressPromptSet)]
    [Parameter(Mandatory = true, ParameterSetName = EstatePromptSet)]
    public string[] Prompt { get; set; } = [];

    /// <summary>A regular expression for the question that wants the user's name.</summary>
    [Parameter(ParameterSetName = AddressPromptSet)]
    [Parameter(ParameterSetName = EstatePromptSet)]
    [ValidateNotNullOrEmpty]
    public string? UserPrompt { get; set; }

    /// <summary>A regular expression for the question that wants the password.</summary>
    [Parameter(ParameterSetName = AddressPromptSet)]
    [Parameter(ParameterSetName = EstatePromptSet)]
    [ValidateNotNullOrEmpty]
    public string? PasswordPrompt { get; set; }

    /// <summary>A regular expression for the place where a long answer stops; a blank goes on.</summary>
    [Parameter(ParameterSetName = AddressPromptSet)]
    [Parameter(ParameterSetName = EstatePromptSet)]
    [ValidateNotNullOrEmpty]
    public string? Pager { get; set; }

    /// <summary>What ends a line that is sent.</summary>
    [Parameter(ParameterSetName = AddressPromptSet)]
    [Parameter(ParameterSetName = EstatePromptSet)]
    [ValidateSet("cr", "lf", "crlf")]
    public string LineEnd { get; set; } = "cr";

    /// <summary>The encoding of the console, such as iso-8859-1, where there is no dialect that says it; utf-8 where not given.</summary>
    [Parameter(ParameterSetName = AddressPromptSet)]
    [Parameter(ParameterSetName = EstatePromptSet)]
    [ValidateNotNullOrEmpty]
    [ArgumentCompleter(typeof(EncodingCompleter))]
    public string Encoding { get; set; } = "utf-8";

    /// <summary>The commands to send, in order.</summary>
    [Parameter(Mandatory = true)]
    public string[] Send { get; set; } = [];

    /// <summary>The folder to save in; it is made if it does not exist.</summary>
    [Parameter(Mandatory = true)]
    public string Path { get; set; } = string.Empty;

    /// <summary>Replaces files that stand there.</summary>
    [Parameter]
    public SwitchParameter Force { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        EstateMap? estate = Estate.Length == 0 ? null : EstateAt(Estate);
        Switch place = Run(() => estate is null ? ConsoleAddress.Parse(Address, Link) : estate.FindSwitch(Switch!) ?? throw Unknown(estate));
        ClearTextRule rule = ClearTextRuleOf(estate);
        if (rule.Refusal(place) is { } refusal)
        {
            Fail(refusal);
        }

        LogInSecrets secrets = Run(() => Secrets(estate).Of(place)) ?? LogInSecrets.None;
        Dialect dialect = Prompt.Length > 0 ? Run(() => Plain().ToDialect()) : DialectAt(estate, Dialect ?? place.Dialect);
        string folder = FilePath(Path);
        using PipelinePump pump = new();
        CaptureSaving saving = Run(() => new CaptureSaving(dialect, Switch ?? place.Name, secrets, Send, folder, Force) { Heard = HeardBy(pump) });
        Problem? wrong = saving.Check();
        if (wrong is not null && !IsWhatIf)
        {
            Fail(wrong);
        }

        if (ShouldProcess(Switch ?? place.Name, $"Send {Counted(Send.Length, "command")} and save the {(Send.Length == 1 ? "answer" : "answers")} in '{folder}'"))
        {
            if (rule.Warning([place]) is { } warning)
            {
                WriteWarning(warning);
            }

            Save(saving, place, estate, pump);
        }
        else if (wrong is not null)
        {
            WriteProblem(wrong);
        }
    }

    private void Save(CaptureSaving saving, Switch place, EstateMap? estate, PipelinePump pump)
    {
        Clock clock = estate?.Clock() ?? SystemClock.Instance;
        SwitchLinks links = Links(estate, transcripts: null, pump);
        _ = Run(() => pump.Run(() =>
        {
            foreach (SavedCapture answer in saving.Run(() => links.Connect(place), clock, times: null, problem => Turn(pump, () => WriteProblem(problem)), Stopped))
            {
                Turn(pump, () => WriteObject(answer));
            }

            return true;
        }));
        SweepSsh();
    }

    private static void Turn(PipelinePump pump, Action turn) => _ = pump.OnPipeline(() =>
    {
        turn();
        return true;
    });

    private PlainConsole Plain() => new() { Prompts = Prompt, UserPrompt = UserPrompt, PasswordPrompt = PasswordPrompt, Pager = Pager, LineEnd = LineEnds[LineEnd], Encoding = Encoding };

    private Dialect DialectAt(EstateMap? estate, string name)
    {
        string path = FilePath(name);
        DialectResult result = Dialect is not null && File.Exists(path) ? DialectFile.Read(path) : new DialectFinder(estate).Find(name);
        return Demand(result.Dialect, result.Problems);
    }

    private EstateMap EstateAt(string path)
    {
        EstateResult result = CheckedEstate.Read(FilePath(path));
        return Demand(result.Estate, result.Problems);
    }

    private PoeOpsException Unknown(EstateMap estate) =>
        new(new Problem(ProblemId.NotInEstate, $"The estate '{estate.Name}' has no switch '{Switch}'.", "Compare with the names in the estate file.") { Target = Switch });
}
