using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>Sends the commands of a dialect, need by need: each for the switch, or for the units or ports that the answers before have named.</summary>
internal sealed class SwitchAsking
{
    private static readonly Need[] Order = [Need.Release, Need.Units, Need.Controllers, Need.Ports, Need.Neighbours, Need.PortSettings];

    private readonly Dialect _dialect;
    private readonly string _switch;
    private readonly Clock _clock;
    private readonly Func<string, string> _send;
    private readonly Func<string> _prompt;
    private Reading? _known;

    /// <summary>Prepares to ask.</summary>
    /// <param name="dialect">What to send.</param>
    /// <param name="switchName">The switch, as the estate names it.</param>
    /// <param name="clock">Says when it was read.</param>
    /// <param name="send">Sends a command and gives the answer.</param>
    /// <param name="prompt">The prompt behind which the next command is sent; null where nobody knows.</param>
    public SwitchAsking(Dialect dialect, string switchName, Clock clock, Func<string, string> send, Func<string>? prompt = null)
    {
        _dialect = dialect;
        _switch = switchName;
        _clock = clock;
        _send = send;
        _prompt = prompt ?? (() => string.Empty);
    }

    /// <summary>Asks for everything that a reading is made of.</summary>
    public SwitchReading Read()
    {
        List<DeviceAnswer> answers = [];
        List<Problem> problems = [];
        foreach (Need need in Order.Where(_dialect.Asks.ContainsKey))
        {
            foreach (Ask ask in _dialect.Asks[need])
            {
                answers.AddRange(Ask(need, ask, IsPlain(ask) ? null : Understand(answers), problems));
            }
        }

        _known = Understand(answers);
        return new SwitchReading(Counted(_known.Controllers, problems), [.. _known.Problems, .. problems]);
    }

    /// <summary>Asks whether a refresh is under way; reads the switch before, where that has to be known.</summary>
    /// <returns>The lines that it answers.</returns>
    public IReadOnlyList<string> AskBusy(IReadOnlyList<Ask> asks)
    {
        if (_known is null && !asks.All(IsPlain))
        {
            _ = Read();
        }

        List<Problem> problems = [];
        List<DeviceAnswer> answers = [.. asks.SelectMany(ask => Ask(Need.Busy, ask, _known, problems))];
        return problems.Count == 0
            ? [.. answers.SelectMany(answer => answer.Text.Split('\n')).Select(ConsoleText.Clean)]
            : throw new PoeOpsException(problems[0]);
    }

    private static bool IsPlain(Ask ask) => ask.Each == AskEach.Switch && ask.Variants.Count == 0;

    private List<DeviceAnswer> Ask(Need need, Ask ask, Reading? known, List<Problem> problems)
    {
        List<DeviceAnswer> answers = [];
        foreach ((string unit, string port) in Targets(ask, known))
        {
            if (Command(ask, known, unit) is not { } command)
            {
                problems.Add(NoVariant(need, known, unit));
                continue;
            }

            string filled = unit.Length == 0 ? command : SafeValue.Fill(command, ("{Unit}", unit));
            filled = port.Length == 0 ? filled : SafeValue.Fill(filled, ("{Port}", port));
            string answer = _send(filled);
            answers.Add(new DeviceAnswer(filled, answer) { Prompt = _prompt(), Unit = unit, Port = port });
        }

        return answers;
    }

    // A slot without a controller has nothing to say, and many a device refuses to be asked about it.
    private static IEnumerable<(string Unit, string Port)> Targets(Ask ask, Reading? known)
    {
        IEnumerable<Controller> present = known?.Controllers.Where(controller => controller.Condition != ControllerCondition.Absent) ?? [];
        return ask.Each switch
        {
            AskEach.Unit => present.Select(controller => (controller.Unit, string.Empty)),
            AskEach.Port => present.SelectMany(controller => controller.Ports.Select(port => (controller.Unit, port.Name))),
            _ => [(string.Empty, string.Empty)],
        };
    }

    private static string? Command(Ask ask, Reading? known, string unit) =>
        ask.Variants.Count == 0 ? ask.Send : ask.Variants.FirstOrDefault(variant => Fits(variant, known, unit))?.Send;

    private static bool Fits(AskVariant variant, Reading? known, string unit) =>
        (variant.Release is not { } release || (known?.Release is { } found && release.Fits(found)))
        && (variant.Model is not { } model || Models(known, unit).Any(model.Fits));

    private static IEnumerable<string> Models(Reading? known, string unit) =>
        (known?.Controllers ?? []).Where(one => unit.Length == 0 || one.Unit == unit).Select(one => one.Model ?? string.Empty).Where(one => one.Length > 0).Distinct();

    private Problem NoVariant(Need need, Reading? known, string unit)
    {
        string model = string.Join(", ", Models(known, unit));
        string what = unit.Length == 0 ? "the switch" : $"unit {unit}";
        return new Problem(
            ProblemId.NoVariantFits,
            $"No variant of the command for {need} fits {what}: its release is {Told(known?.Release)} and its model {Told(model)}.",
            "Add a variant for it to 'ask' of the dialect, or a last one without 'when'.")
        { Target = unit.Length == 0 ? _switch : $"{_switch}/{unit}" };
    }

    private static string Told(string? text) => string.IsNullOrEmpty(text) ? "not known" : $"'{Excerpt.Of(text)}'";

    // What was not asked is missing from the controllers that it was for.
    private IReadOnlyList<Controller> Counted(IReadOnlyList<Controller> controllers, List<Problem> problems) =>
        problems.Count == 0 ? controllers
        : [.. controllers.Select(one => one with { ReadingProblems = one.ReadingProblems + problems.Count(problem => problem.Target == _switch || problem.Target == $"{_switch}/{one.Unit}") })];

    private Reading Understand(List<DeviceAnswer> answers) =>
        CaptureReader.Read(_dialect, CaptureText.FromAnswers(answers, _switch), new ReadingContext { Switch = _switch, Source = "console", ReadUtc = _clock.UtcNow });
}
