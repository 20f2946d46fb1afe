using PoeOps.Dialects;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>Follows a refresh that was started: on the line as it is printed, or by asking for its state where the prompt comes back at once.</summary>
internal sealed class RefreshWatch
{
    private readonly Dialogue _dialogue;
    private readonly RefreshManners _manners;
    private readonly RefreshWords _words;
    private readonly Clock _clock;
    private readonly string? _poll;
    private readonly Queue<LinkEvent> _events = new();
    private readonly HashSet<Exchange> _answered = [];
    private readonly HashSet<string> _told = new(StringComparer.Ordinal);
    private string _command = string.Empty;
    private bool _onLine = true;
    private string _lastUnfinished = string.Empty;

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
        _command = command;
        _dialogue.Send(command);
    }

    /// <summary>The next thing that the device says.</summary>
    public LinkEvent Next(Deadline until)
    {
        while (_events.Count == 0)
        {
            if (_dialogue.HasEnded)
            {
                return new LinkEvent(LinkEventKind.Lost, "The device closed the connection.");
            }

            if (until.HasPassed)
            {
                return new LinkEvent(LinkEventKind.Silence, Excerpt.Of(_dialogue.LastLine.Trim()));
            }

            if (_onLine)
            {
                ReadLine(until);
            }
            else
            {
                Poll(until);
            }
        }

        return _events.Dequeue();
    }

    private void ReadLine(Deadline until)
    {
        TimeSpan most = until.MachineTimeLeft;
        if (!_dialogue.Receive(most < TimeSpan.FromMilliseconds(250) ? most : TimeSpan.FromMilliseconds(250)))
        {
            return;
        }

        foreach (string line in _dialogue.TakeLines())
        {
            TakeLine(line);
        }

        string last = _dialogue.LastLine;
        if (_dialogue.AnswerPager() || AnswerQuestion(last))
        {
            return;
        }

        if (_dialogue.IsAtPrompt())
        {
            _dialogue.Clear();
            _onLine = _poll is null;
            if (_poll is null)
            {
                _events.Enqueue(new LinkEvent(LinkEventKind.PromptBack, Excerpt.Of(last)));
            }
        }
        else if (last != _lastUnfinished && _words.ReadUnfinished(last) is { } progress)
        {
            _events.Enqueue(progress);
        }

        _lastUnfinished = last;
    }

    private void TakeLine(string line)
    {
        if (_command.Length > 0 && line.TrimEnd().EndsWith(_command, StringComparison.Ordinal))
        {
            _command = string.Empty;
            return;
        }

        foreach (LinkEvent one in _words.Read(line))
        {
            _events.Enqueue(one);
        }
    }

    private bool AnswerQuestion(string last)
    {
        Exchange? question = _manners.Asks.FirstOrDefault(one => one.Expect.IsMatch(last));
        if (question is null || !_answered.Add(question))
        {
            return false;
        }

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
        try
        {
            foreach (LinkEvent one in _dialogue.Ask(_poll!).Split('\n').Select(ConsoleText.Clean).SelectMany(_words.Read))
            {
                if (one.Kind != LinkEventKind.Other && _told.Add($"{one.Kind} {one.Stage} {one.Percent} {one.Text}"))
                {
                    _events.Enqueue(one);
                }
            }
        }
        catch (PoeOpsException exception) when (exception.Problem.Id is ProblemId.LinkClosed or ProblemId.LinkSilent or ProblemId.LinkBlocked or ProblemId.PromptNotSeen)
        {
            _events.Enqueue(new LinkEvent(LinkEventKind.Lost, exception.Problem.Sentence));
        }
    }
}
