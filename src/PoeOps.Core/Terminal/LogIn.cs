using PoeOps.Dialects;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>Gets a dialogue from a fresh connection to a prompt that waits for commands.</summary>
internal sealed class LogIn
{
    private static readonly TimeSpan WakeAfter = TimeSpan.FromSeconds(2);

    private readonly Dialogue _dialogue;
    private readonly LogInSecrets _secrets;
    private readonly Clock _clock;
    private readonly TerminalTimes _times;
    private readonly HashSet<Exchange> _answered = [];

    /// <summary>Prepares to log in.</summary>
    public LogIn(Dialogue dialogue, LogInSecrets secrets, Clock clock, TerminalTimes times)
    {
        _dialogue = dialogue;
        _secrets = secrets;
        _clock = clock;
        _times = times;
    }

    /// <summary>Logs in, elevates and makes the console quiet.</summary>
    /// <exception cref="PoeOpsException">
    /// The device refused (<see cref="ProblemId.LogInRefused"/>), asked for a secret that was not given (<see cref="ProblemId.SecretMissing"/>), or
    /// stopped at something that the dialect does not know (<see cref="ProblemId.PromptNotSeen"/>).
    /// </exception>
    public void Run()
    {
        ConsoleManners console = _dialogue.Dialect.Console;
        Wake(console);
        Answer(console.LogIn, "a prompt after log-in");
        if (console.Elevate is { } elevate && !IsElevated(console))
        {
            _dialogue.Clear();
            _dialogue.Send(elevate);
            Answer(console.ElevateDialogue, "a prompt after elevation");
            if (console.ElevatedPrompts.Count > 0 && !IsElevated(console))
            {
                throw Refused($"The prompt after elevation is '{Excerpt.Of(_dialogue.LastLine)}', which is not an elevated one.");
            }
        }

        _dialogue.Clear();
        foreach (string command in console.Quiet)
        {
            _ = _dialogue.Ask(command);
        }
    }

    private bool IsElevated(ConsoleManners console) => console.ElevatedPrompts.Any(pattern => pattern.IsMatch(_dialogue.LastLine));

    // A console server shows nothing until a key is pressed.
    private void Wake(ConsoleManners console)
    {
        if (console.Wake is { } wake && !_dialogue.Receive(_clock.MachineTime(WakeAfter)))
        {
            _dialogue.Send(wake);
        }
    }

    private void Answer(IReadOnlyList<Exchange> exchanges, string waitingFor)
    {
        Deadline deadline = _clock.DeadlineIn(_times.LogIn);
        bool first = true;
        while (true)
        {
            if (!first || _dialogue.LastLine.Length == 0)
            {
                _dialogue.Await(deadline, waitingFor);
            }

            first = false;
            CheckRefused();
            if (_dialogue.AnswerPager() || AnswerQuestion(exchanges))
            {
                continue;
            }

            if (_dialogue.IsAtPrompt())
            {
                CheckRefused();
                return;
            }
        }
    }

    private bool AnswerQuestion(IReadOnlyList<Exchange> exchanges)
    {
        string last = _dialogue.LastLine;
        Exchange? question = exchanges.FirstOrDefault(one => one.Expect.IsMatch(last));
        if (question is null)
        {
            return false;
        }

        if (!_answered.Add(question))
        {
            throw Refused($"The device asked '{Excerpt.Of(last.Trim())}' again after it was answered.");
        }

        string text = _secrets.Fill(question.Send, out string? missing);
        if (missing is not null)
        {
            throw new PoeOpsException(new Problem(
                ProblemId.SecretMissing, $"The device asks '{Excerpt.Of(last.Trim())}', and no {missing.Trim('{', '}')} was given.",
                "Give -Credential, or -ElevationCredential where a console asks for a second secret."));
        }

        _dialogue.DropLastLine();
        _dialogue.Send(text, secret: question.Send.Contains("Password}"), lineEnd: question.AddLineEnd);
        return true;
    }

    private void CheckRefused()
    {
        IReadOnlyList<string> lines = [.. _dialogue.TakeLines(), _dialogue.LastLine];
        string? refusal = lines.FirstOrDefault(line => _dialogue.Dialect.Console.LogInRefused.Any(pattern => pattern.IsMatch(line)));
        if (refusal is not null)
        {
            throw Refused($"The device refused the log-in with '{Excerpt.Of(refusal.Trim())}'.");
        }
    }

    private static PoeOpsException Refused(string sentence) => new(new Problem(ProblemId.LogInRefused, sentence, "Check user and password; a locked account may need some minutes."));
}
