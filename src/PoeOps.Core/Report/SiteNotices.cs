using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>
/// Makes the notices of a plan, one for each of its sites, for people who lose their telephones and do not know what a controller is: when, what, for how
/// long, what comes back by itself, whom to call, and what not to do.
/// </summary>
public static class SiteNotices
{
    /// <summary>The notices of a plan, in the order of its sites' first windows.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="estate">The estate that it was made from, for the sites' time zones and contacts.</param>
    /// <param name="contact">Whom to call, for all sites in place of what the estate says; null or blank for that.</param>
    /// <exception cref="PoeOpsException">
    /// A site is not in the estate (<see cref="ProblemId.NotInEstate"/>), or its time zone does not exist (<see cref="ProblemId.ZoneUnknown"/>).
    /// </exception>
    public static IReadOnlyList<SiteNotice> Of(Plan plan, EstateMap estate, string? contact = null)
    {
        IGrouping<string, PlannedWindow>[] sites = [.. PlannedWindow.Of(plan).GroupBy(window => window.Site, StringComparer.OrdinalIgnoreCase)];
        IReadOnlyList<string> names = NoticeName.Of([.. sites.Select(site => site.Key)]);
        return [.. sites.Select((site, index) => Notice([.. site], Find(estate, site.Key), contact) with { FileName = names[index] })];
    }

    private static Site Find(EstateMap estate, string name) => estate.FindSite(name) ?? throw new PoeOpsException(new Problem(
        ProblemId.NotInEstate, $"The plan has a site '{Excerpt.Of(name)}', and the estate '{Excerpt.Of(estate.Name)}' has none of that name.", "Make the plan again with New-PsePlan.") { Target = name });

    private static SiteNotice Notice(PlannedWindow[] windows, Site site, string? contact)
    {
        NoticeTimes times = new(site);
        string whom = (string.IsNullOrWhiteSpace(contact) ? site.Contact : contact!).Trim();
        string name = DarkUnit.Short(site.Name);
        DarkUnit[] units = [.. windows.SelectMany(window => window.Units).Select(DarkUnit.Of)];
        NoticeLoads loads = new(units);
        return new SiteNotice
        {
            Site = name,
            Title = $"Telephones and other devices at {name} will be without power for some minutes",
            HasContact = whom.Length > 0,
            Parts =
            [
                .. Caution(loads, whom.Length > 0),
                new NoticePart("When", ["The equipment that feeds these devices is brought up to date. Times are those of the clocks at the site."], [.. windows.Select(times.Say)]),
                new NoticePart("What goes dark", [loads.Sentence()], loads.Roles()),
                HowLong(units, loads),
                ComesBack(loads, windows.Length == 1 ? $"by {times.End(windows[0])}" : "when the time that stands under \"When\" for its night is over"),
                Whom(whom),
                WhatNot,
            ],
        };
    }

    private static NoticePart WhatNot => new(
        "What not to do",
        [],
        [
            "Do not unplug, switch off or restart a device or the equipment that feeds it, however long it takes: that can do harm, and makes it take longer.",
            "Do not count on these telephones in an emergency, nor on anything else that is named here: call the emergency number from another telephone, such as a mobile one. Know where the nearest is before the time comes.",
        ]);

    private static IEnumerable<NoticePart> Caution(NoticeLoads loads, bool hasContact)
    {
        int count = loads.LifeSafetyCount;
        if (count == 0)
        {
            yield break;
        }

        string devices = count == 1 ? "1 device that keeps people safe does" : FormattableString.Invariant($"{count} devices that keep people safe do");
        string call = hasContact ? "call whoever is named under \"Whom to call\"" : "tell whoever gave you this notice";
        yield return new NoticePart(
            "Caution: devices that keep people safe go dark",
            [
                "What has to stand in for such a device, and whether it may be dark at all, is for local codes and for licensed practice to say. "
                + $"If you, or somebody in your care, may need one of them in that time and do not know what to use instead, {call} before it comes.",
                $"{devices} not work meanwhile, and nobody gets help through what is dark:",
            ],
            loads.Names(unit => unit.LifeSafety));
    }

    private static NoticePart HowLong(DarkUnit[] units, NoticeLoads loads)
    {
        DarkUnit[] dark = [.. units.Where(unit => unit.Unit.Loads > 0)];
        string sentence = dark.Length == 0 ? "No device is out of service."
            : dark.All(unit => unit.OutOfServiceSeconds is (not null, not null))
                ? $"A device is out of service for {Minutes(dark.Max(unit => unit.OutOfServiceSeconds.Typical!.Value))} as a rule, and for {Minutes(dark.Max(unit => unit.OutOfServiceSeconds.Worst!.Value))} at the longest that is expected{(loads.MoreThanOnce > 0 ? ", each time" : string.Empty)}."
                : "Nobody knows yet for how long a device is out of service; expect it for the whole time that stands under \"When\".";
        return new NoticePart("How long", [sentence], []);
    }

    private static string Minutes(double seconds) => DarkUnit.Minutes(seconds) is var minutes && minutes == 1 ? "1 minute" : FormattableString.Invariant($"{minutes} minutes");

    private static NoticePart ComesBack(NoticeLoads loads, string end)
    {
        IReadOnlyList<string> refused = loads.Names(unit => unit.Refused);
        return refused.Count == 0
            ? new NoticePart("What comes back by itself", [$"Everything starts again by itself once it has power. There is nothing to press. Call if something is not back {end}."], [])
            : new NoticePart("What comes back by itself", [$"All else starts again by itself once it has power, and there is nothing to press; call if it is not back {end}.", "These are expected to stay dark until somebody sees to them:"], refused);
    }

    private static NoticePart Whom(string contact) => new(
        "Whom to call",
        [contact.Length > 0 ? Excerpt.Of(contact, 400) : "NOBODY IS NAMED HERE. Ask whoever gave you this notice whom to call, before the work begins."],
        []);
}
