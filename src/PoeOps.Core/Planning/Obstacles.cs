using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>What can stand in the way of planning a unit.</summary>
internal sealed class Obstacles(PlanSetup setup, PlanOptions options)
{
    private const string AcceptIt = "accept its life-safety loads by name with -AcceptLifeSafety once that is decided";

    /// <summary>What stands in the way before any window is looked at, or null.</summary>
    public static Obstacle? Before(Outage outage, EstateMap estate, PlanOptions options)
    {
        if (outage.Verdict != Verdict.Behind)
        {
            return Of(outage, ProblemId.NotPlannable, outage.Drift.Reason, Help(outage));
        }

        bool isInEstate = estate.FindSwitch(outage.Switch) is { } one && string.Equals(one.Site, outage.Site, StringComparison.OrdinalIgnoreCase);
        if (!isInEstate)
        {
            return Of(outage, ProblemId.NotInEstate, $"The estate '{estate.Name}' has no switch '{outage.Switch}' at a site '{outage.Site}'.", "Read the controllers with the same estate, or add the switch to it.");
        }

        if (outage.Drift.ReadingProblems > 0 && !options.ReadingProblems.Contains(outage.UnitId))
        {
            string count = outage.Drift.ReadingProblems == 1 ? "a problem" : outage.Drift.ReadingProblems.ToString(CultureInfo.InvariantCulture) + " problems";
            return Of(outage, ProblemId.ReadingNotClean, $"Its reading has {count}.", "Correct the dialect with Test-PseDialect, or accept the unit by name with -AcceptReadingProblem.");
        }

        return TimesUnknown(outage) ?? Refused(outage, options);
    }

    // Its gate would keep it from starting in the night.
    private static Obstacle? Refused(Outage outage, PlanOptions options) => outage.RefusedLoads is > 0 && !options.RefusedLoads.Contains(outage.UnitId)
        ? Of(outage, ProblemId.LoadsRefused, RestartCaution.Sentence(outage), $"{RestartCaution.Help(outage)} Or accept the unit by name with -AcceptRefusedLoad once that is decided.")
        : null;

    // A stage or a restart without a time cannot be held against the end of a window.
    private static Obstacle? TimesUnknown(Outage outage)
    {
        if (outage.Drift.Path.Select(HopTimes.Worst).FirstOrDefault(times => times.Problem is not null).Problem is { } stage)
        {
            return Of(outage, stage.Id, stage.Sentence, stage.Advice);
        }

        return outage.Drift.Controller.Ports.FirstOrDefault(port => port.Delivering && port.RestartSeconds is null) is { } load
            ? Of(outage, ProblemId.RoleTimesUnknown, $"Nobody says how long the load on port {load.PortId} needs until it serves again.", "Read the controllers with the estate, whose roles say so.")
            : null;
    }

    /// <summary>What keeps a unit from being placed even where nothing else is planned; null where nothing does.</summary>
    public Obstacle? Alone(Outage outage)
    {
        IReadOnlyList<PlanWindow> windows = setup.WindowsOf(outage.Site);
        bool attendedOnly = setup.MustBeAttended(outage);
        List<PlanWindow> attended = [.. windows.Where(window => !attendedOnly || window.Window.Attended)];
        if (attended.Count == 0)
        {
            return NoWindow(outage, windows.Count);
        }

        List<PlanWindow> usable = attended.FindAll(window => setup.MayUse(outage, window.Window, attendedOnly));
        return usable.Count == 0 ? NotNamed(outage, attended.Count, attendedOnly) : TooLong(outage, usable, attendedOnly) ?? TooManyLoads(outage);
    }

    /// <summary>What keeps a unit from being placed beside the others: the one rule without which it could be.</summary>
    /// <param name="outage">The unit, whose images are not all in the draft.</param>
    /// <param name="task">The task.</param>
    /// <param name="draft">The draft as it came out.</param>
    public Obstacle Crowded(Outage outage, PlanTask task, PlanDraft draft)
    {
        PlanItem item = task.Items.First(one => one.Outage.UnitId == outage.UnitId && draft[one.Index] is null);
        string looked = $"(looked at: {Text(item.Windows.Length)})";
        bool Could(PlanRules without) => item.Windows.Any(window => draft.EarliestIn(item.Index, window, without: without) is not null);
        if (item.Group >= 0 && Could(PlanRules.Coverage))
        {
            return Of(
                outage, ProblemId.CoverageNotApart,
                $"Every window of '{outage.Site}' that has room for it holds a unit that covers for it, of the group '{outage.Drift.Controller.CoverageGroup}' {looked}.",
                AddWindows(outage, "let the coverage group say \"apart\": \"recovered\" where that is enough"));
        }

        if (Could(PlanRules.Limits))
        {
            WindowLimits limits = setup.LimitsOf(outage.Site);
            string limit = string.Join(" and ", new[] { limits.Units is { } units ? Count(units, "unit") : null, limits.DarkLoads is { } loads ? Count(loads, "dark load") : null }.Where(part => part is not null));
            return Of(outage, ProblemId.WindowLimitReached, $"Every window of '{outage.Site}' that has room for it has reached the limit of {limit} {looked}.", AddWindows(outage, "raise the limit in the estate"));
        }

        return Late(outage, item, task, draft, Could(PlanRules.Soak), looked) ?? Full(outage, item, looked);
    }

    private Obstacle? Late(Outage outage, PlanItem item, PlanTask task, PlanDraft draft, bool bySoak, string looked)
    {
        if (!bySoak)
        {
            return null;
        }

        string soak = setup.Soak.TotalHours.ToString("0.##", CultureInfo.InvariantCulture);
        (int before, _) = item.Before.Where(one => task.Items[one.Item].IsPilot && draft[one.Item] is not null).OrderByDescending(one => draft.EndOf(one.Item)).FirstOrDefault();
        string pilot = item.Before.Exists(one => task.Items[one.Item].IsPilot) ? task.Items[before].Outage.UnitId.ToString() : "that is refreshed already";
        return Of(outage, ProblemId.PilotTooLate, $"After its pilot {pilot} and the soak of {soak} hours no window of '{outage.Site}' has so much left for it {looked}.", AddWindows(outage, "shorten the soak"));
    }

    private Obstacle Full(Outage outage, PlanItem item, string looked)
    {
        bool attendedOnly = setup.MustBeAttended(outage);
        return Of(
            outage, ProblemId.NoWindowFits,
            $"It needs {Minutes(item.Length + options.Reserve.Ticks)} minutes, and no {Kind(attendedOnly)} of '{outage.Site}' has so much left for it {looked}.",
            AddWindows(outage, attendedOnly ? AcceptIt : null));
    }

    // The windows that were looked at may not be all that there are.
    private string AddWindows(Outage outage, string? other)
    {
        string? more = setup.WindowsOf(outage.Site).Count >= options.MostWindows ? "look at more (-MostWindows)" : options.UntilUtc is null ? null : "look at later ones (-Until)";
        string[] ways = [.. new[] { "Add windows", more, other }.Where(way => way is not null).Select(way => way!)];
        return ways.Length == 1 ? ways[0] + "." : $"{string.Join(", ", ways.Take(ways.Length - 1))}, or {ways[^1]}.";
    }

    private Obstacle NoWindow(Outage outage, int windows)
    {
        IReadOnlyList<Window> frozen = setup.FrozenOf(outage.Site);
        if (windows == 0 && frozen.Count > 0)
        {
            return Of(
                outage, ProblemId.NoWindowFits, $"Every window of the site '{outage.Site}'{ThatCloses} falls into a freeze: {FreezeWords.Of(frozen)}.",
                $"Plan from a day behind the freeze (-From), {(options.UntilUtc is null ? string.Empty : "look at later windows (-Until), ")}or give the site a window outside it; a single extra window stands inside a freeze as well.");
        }

        return windows == 0 ? NoneAtAll(outage) : NoneAttended(outage, [.. frozen.Where(window => window.Attended && window.OpensUtc <= setup.WindowsOf(outage.Site)[windows - 1].Window.OpensUtc)]);
    }

    private string ThatCloses => options.UntilUtc is { } until ? FormattableString.Invariant($" that would close by {until:yyyy-MM-dd HH:mm} UTC") : string.Empty;

    private Obstacle NoneAtAll(Outage outage) => options.UntilUtc is { } until
        ? Of(outage, ProblemId.NoWindowFits, FormattableString.Invariant($"The site '{outage.Site}' has no window that closes by {until:yyyy-MM-dd HH:mm} UTC."), "Look at later windows (-Until), or give the site windows in the estate file.")
        : Of(outage, ProblemId.NoWindowFits, $"The site '{outage.Site}' has no window.", "Give the site windows, or an extra window, in the estate file.");

    private static Obstacle NoneAttended(Outage outage, Window[] frozen) => Of(
        outage, ProblemId.LifeSafetyNotAccepted,
        $"{LifeSafety.Caution(outage.LifeSafetyLoads)} No window of the site '{outage.Site}' is attended{(frozen.Length == 0 ? string.Empty : $" but such as fall into a freeze: {FreezeWords.Of(frozen)}")}.",
        "Accept the unit by name with -AcceptLifeSafety once that is decided, or give the site an attended window.");

    private Obstacle NotNamed(Outage outage, int windows, bool attendedOnly)
    {
        UnitSetting setting = setup.SettingOf(outage)!;
        string kind = Kind(attendedOnly);
        Window[] frozen = [.. setup.FrozenOf(outage.Site).Where(window => setting.OnlyWindows.Count > 0 && setup.MayUse(outage, window, attendedOnly))];
        string said = setting.OnlyWindows.Count == 0
            ? $"The estate forbids it every {kind} of '{outage.Site}' (looked at: {Text(windows)})."
            : $"The estate lets it use only {string.Join(", ", setting.OnlyWindows)}{(setting.NotWindows.Count > 0 ? " and not " + string.Join(", ", setting.NotWindows) : string.Empty)}, and no {kind} of '{outage.Site}' opens then (looked at: {Text(windows)}{(frozen.Length == 0 ? string.Empty : $"; dropped by a freeze: {FreezeWords.Of(frozen)}")}).";
        return Of(outage, ProblemId.NamedWindowMissing, said, $"Correct 'onlyWindows' and 'notWindows' of the unit in the estate, or look at others (-From, -Until, -MostWindows){Accept(attendedOnly)}.");
    }

    private Obstacle? TooLong(Outage outage, List<PlanWindow> usable, bool attendedOnly)
    {
        long need = Enumerable.Range(0, outage.Hops).Max(hop => PlanSetup.LengthOf(outage, hop));
        long longest = usable.Max(window => window.Window.ClosesUtc.Ticks - Math.Max(window.Window.OpensUtc.Ticks, options.FromUtc.Ticks));
        return need + options.Reserve.Ticks <= longest ? null : Of(
            outage, ProblemId.NoWindowFits,
            $"It needs {Minutes(need + options.Reserve.Ticks)} minutes with its worst case, recovery and reserve, and the longest {Kind(attendedOnly)} of '{outage.Site}' has {Text(longest / TimeSpan.TicksPerMinute)}.",
            $"Lengthen a window, or shorten the reserve{Accept(attendedOnly)}.");
    }

    private Obstacle? TooManyLoads(Outage outage) => setup.LimitsOf(outage.Site).DarkLoads is { } most && outage.Loads > most
        ? Of(
            outage, ProblemId.WindowLimitReached, $"{Text(outage.Loads)} loads go dark with it, and a window of '{outage.Site}' may have {Text(most)} at the most.",
            "Raise 'darkLoads' of the site's limits in the estate.")
        : null;

    private static string Kind(bool attendedOnly) => attendedOnly ? "attended window" : "window";

    private static string Accept(bool attendedOnly) => attendedOnly ? ", or " + AcceptIt : string.Empty;

    private static string Minutes(long ticks) => Math.Ceiling(ticks / (double)TimeSpan.TicksPerMinute).ToString("0", CultureInfo.InvariantCulture);

    private static string Count(int number, string what) => Text(number) + " " + what + (number == 1 ? string.Empty : "s");

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);

    private static string Help(Outage outage) => outage.Verdict switch
    {
        Verdict.Unlisted when outage.Drift.BaselinePath.Length == 0 => "Give a baseline: hold the controllers against it with Test-PseDrift -Baseline first.",
        Verdict.Unlisted => "Add its model and release to the baseline.",
        Verdict.Faulted => "Have the unit looked at by hand.",
        _ => "Read it again, or correct the dialect with Test-PseDialect.",
    };

    private static Obstacle Of(Outage outage, ProblemId id, string reason, string help) =>
        new() { Site = outage.Site, Switch = outage.Switch, Unit = outage.Unit, ProblemId = id, Reason = reason, WouldHelp = help };
}
