using PoeOps.Dialects;

namespace PoeOps.Terminal;

/// <summary>Gets a dialogue from a fresh connection to a prompt that waits for commands.</summary>
internal sealed class LogIn
{
    private static readonly TimeSpan WakeAfter = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan Doubt = TimeSpan.FromSeconds(1);

    private readonly Dialogue _dialogue;
    private readonly ConsoleManners _console;
    private readonly LogInSecrets _secrets;
    private readonly Clock _clock;
    private readonly TerminalTimes _times;
    private readonly HashSet<Exchange> _answered = [];
    private string? _wake;
    private Action _asked = () => { };

    /// <summary>Prepares to log in.</summary>
    public LogIn(Dialogue dialogue, LogInSecrets secrets, Clock clock, TerminalTimes times)
    {
        _dialogue = dialogue;
        _dialogue.Secrets = secrets;
        _console = dialogue.Dialect.Console;
        _secrets = secrets;
        _clock = clock;
        _times = times;
        _wake = _console.Wake;
    }

    /// <summary>Logs in, elevates and makes the console quiet.</summary>
    /// <param name="asked">Told when the device is about to be given its first answer, or a command.</param>
    /// <exception cref="PoeOpsException">
    /// The device refused (<see cref="ProblemId.LogInRefused"/>), has no session free (<see cref="ProblemId.SessionsFull"/>), asked for a secret that was not given (<see cref="ProblemId.SecretMissing"/>), or
    /// stopped at something that the dialect does not know (<see cref="ProblemId.PromptNotSeen"/>).
    /// </exception>
    public void Run(Action asked)
    {
        _asked = asked;
        Answer(_console.LogIn, "a prompt after log-in", null);
        _wake = null;
        _asked();
        if (_console.Elevate is { } elevate && !IsElevated())
        {
            _dialogue.SendAfresh(elevate);
            Answer(_console.ElevateDialogue, "a prompt after elevation", elevate);
        }

        _dialogue.Clear();
        _dialogue.LoggedIn();
        foreach (string command in _console.Quiet)
        {
            _ = _dialogue.Ask(command);
        }
    }

    private bool IsElevated() => _console.ElevatedPrompts.AnyFits(_dialogue.LastLine);

    private void Answer(IReadOnlyList<Exchange> exchanges, string waitingFor, string? elevate)
    {
        Deadline deadline = _clock.DeadlineIn(_times.LogIn);
        do
        {
            WaitForMore(deadline, waitingFor);
            CheckLines(elevate);
        }
        while (_dialogue.AnswerPager(deadline, alsoEnded: true) || AnswerQuestion(exchanges, elevate, deadline) || !IsThrough(elevate, deadline));
    }

    // A console server shows nothing, or a greeting of its own, until a key is pressed.
    private void WaitForMore(Deadline deadline, string waitingFor)
    {
        if (_wake is { } wake && _dialogue.LastLine.Length == 0 && !deadline.HasPassed)
        {
            if (_dialogue.Receive(_clock.MachineTime(WakeAfter)))
            {
                return;
            }

            _wake = null;
            if (!_dialogue.HasEnded)
            {
                _dialogue.Send(wake);
            }
        }

        _dialogue.Await(deadline, waitingFor);
    }

    private bool AnswerQuestion(IReadOnlyList<Exchange> exchanges, string? elevate, Deadline deadline)
    {
        Exchange? question = null;
        if (!_dialogue.Settles(line => (question = exchanges.FirstOrDefault(one => one.Expect.Fits(line))) is not null, deadline))
        {
            return false;
        }

        CheckLines(elevate);
        string asked = _dialogue.Shown(_dialogue.LastLine);
        if (!_answered.Add(question!))
        {
            throw Refused($"The device asked '{asked}' again after it was answered.");
        }

        string text = _secrets.Fill(question!.Send, out string? missing);
        if (missing is not null)
        {
            throw new PoeOpsException(new Problem(
                ProblemId.SecretMissing, $"The device asks '{asked}', and no {missing} was given.",
                "Give -Credential, or -ElevationCredential where a console asks for a second secret."));
        }

        _asked();
        _dialogue.DropLastLine();
        _dialogue.Send(text, secret: question.Send.Contains("Password}"), lineEnd: question.AddLineEnd);
        return true;
    }

    private bool IsThrough(string? elevate, Deadline deadline)
    {
        // Where nothing was asked that should have been, what looks like a prompt may be a line of a greeting that is still coming.
        bool unasked = elevate is null && _console.LogIn.Count > 0 && _answered.Count == 0;
        if (!_dialogue.IsAtPrompt(deadline, unasked ? Doubt : null))
        {
            return false;
        }

        CheckLines(elevate);
        if (elevate is null || _console.ElevatedPrompts.Count == 0 || IsElevated())
        {
            return true;
        }

        // The plain prompt may have been drawn again behind a log line.
        return _dialogue.Receive(Doubt)
            ? false
            : throw Refused($"The prompt after elevation is '{_dialogue.Shown(_dialogue.LastLine)}', which is not an elevated one.");
    }

    private void CheckLines(string? elevate)
    {
        IReadOnlyList<string> lines = [.. _dialogue.TakeLines(), _dialogue.LastLine];
        if (lines.FirstOrDefault(_console.LogInRefused.AnyFits) is { } refusal)
        {
            throw Refused($"The device refused the {(elevate is null ? "log-in" : "elevation")} with '{_dialogue.Shown(refusal)}'.");
        }

        // The word that somebody was refused comes first: what may pass is tried again, and a refusal must not be.
        if (lines.FirstOrDefault(_console.SessionsFull.AnyFits) is { } full)
        {
            throw DialogueProblems.Full(_dialogue.Shown(full));
        }

        if (elevate is not null && lines.FirstOrDefault(_dialogue.IsRefusal) is { } unknown)
        {
            throw DialogueProblems.Refused(_dialogue.Shown(elevate), _dialogue.Shown(unknown));
        }
    }

    private static PoeOpsException Refused(string sentence) => new(new Problem(ProblemId.LogInRefused, sentence, "Check user and password; a locked account may need some minutes."));
}
