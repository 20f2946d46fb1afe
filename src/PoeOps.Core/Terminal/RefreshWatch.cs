using System.Text.RegularExpressions;
using PoeOps.Dialects;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>Follows a refresh that was started: on the line as it is printed, or by asking for its state where the prompt comes back at once.</summary>
internal sealed class RefreshWatch
{
    private const string JobName = "{Job}";

    private static readonly TimeSpan Moment = TimeSpan.FromMilliseconds(250);

    private readonly Dialogue _dialogue;
    private readonly RefreshManners _manners;
    private readonly LineHearing _hearing;
    private readonly Clock _clock;
    private string? _poll;
    private readonly Queue<LinkEvent> _events = new();
    private readonly HashSet<Exchange> _answered = [];
    private bool _onLine = true;
    private bool _promptCame;

    /// <summary>Prepares to follow.</summary>
    /// <param name="dialogue">The console.</param>
    /// <param name="manners">How the device refreshes.</param>
    /// <param name="clock">Counts the time between two polls.</param>
    /// <param name="poll">The status command, or null.</param>
    public RefreshWatch(Dialogue dialogue, RefreshManners manners, Clock clock, string? poll)
    {
        _dialogue = dialogue;
        _manners = manners;
        _hearing = new LineHearing(dialogue.Dialect.Console, manners);
        _clock = clock;
        _poll = poll;
    }

    /// <summary>Sends the command.</summary>
    public void Start(string command)
    {
        _hearing.Typed(command);
        _dialogue.SendAfresh(command);
    }

    /// <summary>The next thing that the device says.</summary>
    public LinkEvent Next(Deadline until)
    {
        while (_events.Count == 0)
        {
            Look(until);
            if (_events.Count == 0 && _dialogue.HasEnded)
            {
                return new LinkEvent(LinkEventKind.Lost, "The device closed the connection.");
            }

            if (_events.Count == 0 && until.HasPassed)
            {
                return new LinkEvent(LinkEventKind.Silence, _onLine && !_dialogue.IsPrompt(_dialogue.LastLine) ? _dialogue.Shown(_dialogue.LastLine) : string.Empty);
            }
        }

        return _events.Dequeue();
    }

    /// <summary>
    /// Waits for the prompt where a last word came before it: one that came later could pass for the end of the next command's answer. A device that
    /// gives none is asked all the same.
    /// </summary>
    /// <param name="until">When the wait ends.</param>
    public void AwaitPrompt(Deadline until)
    {
        while (!_promptCame && !_dialogue.HasEnded && !until.HasPassed)
        {
            _promptCame = _dialogue.IsAtPrompt(until);
            if (!_promptCame)
            {
                _ = _dialogue.Receive(until.MachineTimeLeft < Moment ? until.MachineTimeLeft : Moment);
            }
        }
    }

    // A device at work may refuse a question, which says nothing of the work. Any other trouble leaves this session of no use.
    private void Look(Deadline until)
    {
        try
        {
            if (_onLine)
            {
                ReadLine(until);
            }
            else if (!_dialogue.HasEnded)
            {
                Poll(until);
            }
        }
        catch (PoeOpsException exception)
        {
            bool refused = exception.Problem.Id == ProblemId.CommandRefused;
            _events.Enqueue(new LinkEvent(refused ? LinkEventKind.Other : LinkEventKind.Lost, exception.Problem.Sentence));
        }
    }

    private void ReadLine(Deadline until)
    {
        bool came = _dialogue.Receive(until.MachineTimeLeft < Moment ? until.MachineTimeLeft : Moment);
        TakeLines();
        if (!came && _dialogue.HasEnded)
        {
            Tell(_hearing.Finished(_dialogue.LastLine));
            _dialogue.Clear();
        }
        else if (!TakeStop(until))
        {
            TakeUnfinished(quiet: !came);
        }
    }

    private void TakeLines()
    {
        foreach (string line in _dialogue.TakeLines())
        {
            HearJob(line);
            Tell(_hearing.Finished(line));
        }
    }

    private void HearJob(string line)
    {
        foreach (Regex pattern in _manners.Job)
        {
            if (_poll is not null && pattern.Find(line) is { Success: true } match && match.Groups[GroupNames.Job].Value is { Length: > 0 } job)
            {
                _poll = SafeValue.Fill(_poll, (JobName, job));
            }
        }
    }

    // A pager, a question or the prompt, where the device has stopped at one.
    private bool TakeStop(Deadline until)
    {
        if (_dialogue.AnswerPager(until) || AnswerQuestion(until))
        {
            return true;
        }

        if (!_dialogue.IsAtPrompt(until))
        {
            return false;
        }

        TakeLines();
        string prompt = _dialogue.LastLine;
        _dialogue.Clear();
        _promptCame = true;
        _onLine = _poll is null;
        if (_poll is null)
        {
            _events.Enqueue(new LinkEvent(LinkEventKind.PromptBack, Excerpt.Of(prompt)));
        }

        return true;
    }

    // A percentage that is written over and over, or dots behind a word. A line that is still being written may become another one, so what
    // it says beside a percentage is believed when nothing comes behind it for a while.
    private void TakeUnfinished(bool quiet) => Tell(_hearing.Unfinished(_dialogue.LastLine, quiet));

    private void Tell(IEnumerable<LinkEvent> events)
    {
        foreach (LinkEvent one in events)
        {
            _events.Enqueue(one);
        }
    }

    private bool AnswerQuestion(Deadline until)
    {
        Exchange? question = null;
        if (!_dialogue.Settles(line => (question = _manners.Asks.FirstOrDefault(one => !_answered.Contains(one) && one.Expect.Fits(line))) is not null, until))
        {
            return false;
        }

        _ = _answered.Add(question!);
        _hearing.Typed(question!.Send);
        _dialogue.DropLastLine();
        _dialogue.Send(question.Send, lineEnd: question.AddLineEnd);
        return true;
    }

    // A poll tells the whole state each time; only what is new is an event.
    private void Poll(Deadline until)
    {
        if (_poll!.Contains(JobName))
        {
            throw new PoeOpsException(new Problem(
                ProblemId.JobUnknown, "The device did not say what it calls the work, so that nobody can ask it how far it is.", "Correct 'refresh.job' of the dialect; the unit is read again to see what came of it."));
        }

        // A session that must not be idle for long is asked sooner.
        ConsoleManners console = _dialogue.Dialect.Console;
        var pause = TimeSpan.FromSeconds(console.KeepAlive is null ? _manners.PollSeconds : Math.Min(_manners.PollSeconds, console.KeepAliveSeconds));
        TimeSpan left = TimeSpan.FromTicks((long)(until.MachineTimeLeft.Ticks * _clock.Speed));
        _ = _dialogue.Waits.Count(() => _clock.Wait(pause < left ? pause : left, CancellationToken.None));
        Tell(_hearing.News(_dialogue.Ask(_poll!).Split('\n').Select(ConsoleText.Clean)));
    }
}
