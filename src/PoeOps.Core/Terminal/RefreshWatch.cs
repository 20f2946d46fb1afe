using PoeOps.Dialects;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>Follows a refresh that was started: on the line as it is printed, or by asking for its state where the prompt comes back at once.</summary>
internal sealed class RefreshWatch
{
    private static readonly TimeSpan Moment = TimeSpan.FromMilliseconds(250);

    private readonly Dialogue _dialogue;
    private readonly RefreshManners _manners;
    private readonly RefreshWords _words;
    private readonly Clock _clock;
    private readonly string? _poll;
    private readonly Queue<LinkEvent> _events = new();
    private readonly HashSet<Exchange> _answered = [];
    private readonly HashSet<string> _told = new(StringComparer.Ordinal);
    private readonly HashSet<(LinkEventKind Kind, Stage? Stage, int? Percent)> _toldOfLine = [];
    private string _echo = string.Empty;
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
        _words = new RefreshWords(manners);
        _clock = clock;
        _poll = poll;
    }

    /// <summary>Sends the command.</summary>
    public void Start(string command)
    {
        _echo = command;
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
                return new LinkEvent(LinkEventKind.Silence, _dialogue.Shown(_dialogue.LastLine));
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
            TakeLine(_dialogue.LastLine);
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
            TakeLine(line);
            _toldOfLine.Clear();
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

    private void TakeLine(string line)
    {
        if (IsEcho(line))
        {
            return;
        }

        IReadOnlyList<LinkEvent> events = _words.Read(line);
        bool refused = events.Count == 1 && events[0].Kind == LinkEventKind.Other && _dialogue.IsRefusal(line);
        foreach (LinkEvent one in refused ? [events[0] with { Kind = LinkEventKind.Failed, Because = "the device refused the command" }] : events)
        {
            // What the line told before it was finished is no news.
            if (_toldOfLine.Add((one.Kind, one.Stage, one.Percent)))
            {
                _events.Enqueue(one);
            }
        }
    }

    // The echo may be wrapped at the edge of the device's screen, so it is followed piece by piece.
    private bool IsEcho(string line)
    {
        string shown = line.Trim();
        if (_echo.Length == 0 || shown.Length == 0)
        {
            return false;
        }

        if (_echo.StartsWith(shown, StringComparison.Ordinal))
        {
            _echo = _echo.Substring(shown.Length).TrimStart();
            return true;
        }

        string whole = line.TrimEnd();
        bool redrawn = whole.EndsWith(_echo, StringComparison.Ordinal) && _dialogue.IsPrompt(whole.Substring(0, whole.Length - _echo.Length));
        _echo = redrawn ? string.Empty : _echo;
        return redrawn;
    }

    // A percentage that is written over and over, or dots behind a word. A line that is still being written may become another one, so what
    // it says beside a percentage is believed when nothing comes behind it for a while.
    private void TakeUnfinished(bool quiet)
    {
        foreach (LinkEvent one in _words.ReadUnfinished(_dialogue.LastLine))
        {
            if ((quiet || one.Kind == LinkEventKind.Progress) && _toldOfLine.Add((one.Kind, one.Stage, one.Percent)))
            {
                _events.Enqueue(one);
            }
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
        _echo = question!.Send;
        _dialogue.DropLastLine();
        _dialogue.Send(question.Send, lineEnd: question.AddLineEnd);
        return true;
    }

    // A poll tells the whole state each time; only what is new is an event.
    private void Poll(Deadline until)
    {
        var pause = TimeSpan.FromSeconds(_manners.PollSeconds);
        TimeSpan left = TimeSpan.FromTicks((long)(until.MachineTimeLeft.Ticks * _clock.Speed));
        _ = _clock.Wait(pause < left ? pause : left, CancellationToken.None);
        foreach (LinkEvent one in _dialogue.Ask(_poll!).Split('\n').Select(ConsoleText.Clean).SelectMany(_words.Read))
        {
            if (one.Kind != LinkEventKind.Other && _told.Add($"{one.Kind} {one.Stage} {one.Percent} {one.Text}"))
            {
                _events.Enqueue(one);
            }
        }
    }
}
