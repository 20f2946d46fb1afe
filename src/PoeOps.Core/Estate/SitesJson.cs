using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Reads the key <c>sites</c> of an estate file.</summary>
internal sealed class SitesJson(RoleSet roles, string? fileServer, PowerSettings? power, WindowLimits limits, EstateChecks checks)
{
    private static readonly TimeSpan Longest = TimeSpan.FromDays(31);

    private readonly SwitchesJson _switches = new(roles, fileServer, power);

    /// <summary>Reads the sites; mistakes are reported through the readers.</summary>
    public IReadOnlyList<Site> Read(JsonObjectReader root)
    {
        List<Site> sites = [];
        Dictionary<string, int> lines = new(StringComparer.OrdinalIgnoreCase);
        foreach (JsonObjectReader reader in root.Objects("sites", required: true))
        {
            Site site = SiteOf(reader);
            if (site.Name.Length > 0 && lines.TryGetValue(site.Name, out int first))
            {
                string line = first.ToString(CultureInfo.InvariantCulture);
                reader.Report(ProblemId.NameTwice, "name", $"The site '{Excerpt.Of(site.Name)}' stands twice; the first is in line {line}.", "Give every site a name of its own; case makes no difference.");
            }
            else
            {
                lines[site.Name] = reader.Line;
            }

            sites.Add(site);
            reader.Close();
        }

        return sites;
    }

    /// <summary>Reports every switch read so far whose address is not on loopback.</summary>
    public void DemandLoopback() => _switches.DemandLoopback();

    private Site SiteOf(JsonObjectReader reader)
    {
        string name = EstateJson.Name(reader, "name");
        var site = new Site
        {
            Name = name,
            Zone = Zone(reader),
            LocalTime = LocalTime(reader),
            Contact = Contact(reader),
            Windows = [.. reader.Objects("windows").Select(Window)],
            ExtraWindows = [.. reader.Objects("extraWindows").Select(Extra)],
            Freezes = [.. reader.Objects("freezes").Select(FreezeOf)],
            Limits = PlanningJson.Limits(reader, limits),
            BusyHours = PlanningJson.BusyHours(reader),
            Switches = _switches.Read(reader, name),
        };
        return site with { CoverageGroups = PlanningJson.Groups(reader, _switches.Bearers) };
    }

    private string Zone(JsonObjectReader reader)
    {
        string zone = EstateJson.Written(reader, "zone");
        if (zone.Trim().Length > 0 && checks.Zone?.Invoke(zone) is { } wrong)
        {
            reader.Report(wrong.Id, "zone", wrong.Sentence, wrong.Advice);
        }

        return zone;
    }

    private static LocalTimeChoice LocalTime(JsonObjectReader reader)
    {
        string? text = reader.Text("localTime");
        string[] names = Enum.GetNames(typeof(LocalTimeChoice));
        int place = Array.IndexOf(names, text);
        if (text is not null && place < 0)
        {
            reader.Report(ProblemId.JsonBadValue, "localTime", $"'{Excerpt.Of(text)}' is none of the two that a local time can mean{Nearest.Hint(text, names)}.", $"Write {string.Join(" or ", names)}.");
        }

        return place < 0 ? LocalTimeChoice.First : (LocalTimeChoice)place;
    }

    private static string Contact(JsonObjectReader reader)
    {
        string? text = reader.Text("contact");
        if (text is not null && string.IsNullOrWhiteSpace(text))
        {
            reader.Report(ProblemId.JsonBadValue, "contact", "The text of 'contact' is empty.", "Write whom people call, or remove the key.");
        }

        return text ?? string.Empty;
    }

    private static WindowRule Window(JsonObjectReader reader)
    {
        WindowRule window = WindowDaysJson.Read(reader, new WindowRule
        {
            Days = Days(reader),
            Opens = Shaped(reader, "opens", IsoText.IsTimeOfDay, "time of day", "22:30"),
            Length = Length(reader),
            Attended = reader.Flag("attended") ?? false,
        });
        reader.Close();
        return window;
    }

    private static ExtraWindow Extra(JsonObjectReader reader)
    {
        var window = new ExtraWindow
        {
            Opens = Shaped(reader, "opens", IsoText.IsLocalTime, "local date and time", "2026-12-04T22:00"),
            Length = Length(reader),
            Attended = reader.Flag("attended") ?? false,
        };
        reader.Close();
        return window;
    }

    private static Freeze FreezeOf(JsonObjectReader reader)
    {
        var freeze = new Freeze
        {
            From = Shaped(reader, "from", IsoText.IsDate, "date", "2026-12-20"),
            Until = Shaped(reader, "until", IsoText.IsDate, "date", "2027-01-06"),
            Because = reader.Text("because") ?? string.Empty,
        };
        if (freeze.From.Length > 0 && freeze.Until.Length > 0 && string.CompareOrdinal(freeze.Until, freeze.From) < 0)
        {
            reader.Report(
                ProblemId.WindowImpossible, "until", $"The freeze is from {freeze.From} until {freeze.Until}, so it ends before it begins.", "Let 'until' be the last day of the freeze; that day belongs to it.");
        }

        reader.Close();
        return freeze;
    }

    private static DayOfWeek[] Days(JsonObjectReader reader)
    {
        IReadOnlyList<JsonItem> items = reader.TextItems("days", required: true);
        if (items.Count == 0 && reader.Kind("days") == JsonKind.List && reader.Items("days").Count == 0)
        {
            reader.Report(ProblemId.WindowImpossible, "days", "The window has no days, so it never opens.", "Name at least one day of the week.");
        }

        return [.. items.Select(Day).Where(day => day is not null).Select(day => day!.Value).Distinct()];
    }

    private static DayOfWeek? Day(JsonItem item)
    {
        string[] names = Enum.GetNames(typeof(DayOfWeek));
        int place = Array.IndexOf(names, item.Text);
        if (place < 0)
        {
            item.Report(ProblemId.JsonBadValue, $"'{Excerpt.Of(item.Text)}' is no day of the week{Nearest.Hint(item.Text!, names)}.", $"Write one of {string.Join(", ", names)}.");
            return null;
        }

        return (DayOfWeek)place;
    }

    private static TimeSpan Length(JsonObjectReader reader)
    {
        string? text = reader.Text("length", required: true);
        TimeSpan? length = IsoText.Length(text);
        if (text is not null && length is null)
        {
            reader.Report(ProblemId.JsonBadValue, "length", $"'{Excerpt.Of(text)}' is no length of time.", "Write it in the form of ISO 8601, such as PT5H or PT4H30M.");
        }
        else if (length <= TimeSpan.Zero || length > Longest)
        {
            reader.Report(ProblemId.WindowImpossible, "length", $"The window is '{text}' long, and more than no time and at most 31 days were expected.", "Write how long the window is open, such as PT5H.");
        }

        return length ?? TimeSpan.Zero;
    }

    private static string Shaped(JsonObjectReader reader, string key, Func<string?, bool> fits, string what, string example)
    {
        string? text = reader.Text(key, required: true);
        if (text is not null && !fits(text))
        {
            reader.Report(ProblemId.JsonBadValue, key, $"'{Excerpt.Of(text)}' is no {what}.", $"Write it as in {example}.");
            return string.Empty;
        }

        return text ?? string.Empty;
    }
}
