using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Dialects;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>Understands what a device prints while it refreshes a unit.</summary>
internal sealed class RefreshWords
{
    private readonly RefreshManners _manners;

    /// <summary>Takes the words of a dialect.</summary>
    public RefreshWords(RefreshManners manners) => _manners = manners;

    /// <summary>What a finished line says; one line may say several things, the end of one stage and the beginning of the next for one.</summary>
    public IReadOnlyList<LinkEvent> Read(string line)
    {
        List<LinkEvent> events = ReadStages(line, finished: true);
        Add(events, _manners.Busy, line, LinkEventKind.Busy, null);
        Add(events, _manners.Succeeds, line, LinkEventKind.Succeeded, null);
        if (_manners.Fails.FirstOrDefault(rule => rule.Pattern.Fits(line)) is { } failure)
        {
            events.Add(new LinkEvent(LinkEventKind.Failed, Excerpt.Of(line)) { Because = PlainText.Of(failure.Because) });
        }

        if (events.Count == 0 && line.Trim().Length > 0)
        {
            events.Add(new LinkEvent(LinkEventKind.Other, Excerpt.Of(line)));
        }

        return events;
    }

    /// <summary>What a line says that is not finished: that a stage began, or how far it is. Only a finished line can end anything.</summary>
    public IReadOnlyList<LinkEvent> ReadUnfinished(string line) => ReadStages(line, finished: false);

    private List<LinkEvent> ReadStages(string line, bool finished)
    {
        List<LinkEvent> events = [];
        foreach (StageManners stage in _manners.Stages)
        {
            var name = (Stage)Enum.Parse(typeof(Stage), stage.Stage);
            Add(events, stage.Begins, line, LinkEventKind.StageBegan, name);
            AddProgress(events, stage, line, name);
            Add(events, finished ? stage.Ends : [], line, LinkEventKind.StageEnded, name);
        }

        return events;
    }

    private static void Add(List<LinkEvent> events, IReadOnlyList<Regex> patterns, string line, LinkEventKind kind, Stage? stage)
    {
        if (patterns.AnyFits(line))
        {
            events.Add(new LinkEvent(kind, Excerpt.Of(line)) { Stage = stage });
        }
    }

    private static void AddProgress(List<LinkEvent> events, StageManners stage, string line, Stage name)
    {
        foreach (Regex pattern in stage.Progress)
        {
            Match match = pattern.Find(line);
            if (match.Success && int.TryParse(match.Groups["Percent"].Value, NumberStyles.None, CultureInfo.InvariantCulture, out int percent) && percent <= 100)
            {
                events.Add(new LinkEvent(LinkEventKind.Progress, Excerpt.Of(line)) { Stage = name, Percent = percent });
                return;
            }
        }
    }
}
