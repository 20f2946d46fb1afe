using System.Globalization;
using FsCheck;
using FsCheck.Fluent;
using NodaTime;
using PoeOps.Calendar;
using PoeOps.Estate;
using static PoeOps.Core.Tests.Calendar.CalendarText;

namespace PoeOps.Core.Tests.Calendar;

/// <summary>
/// What holds of the windows of any site, by FsCheck, also beside an account that walks every day and knows no early end. A failure prints the smallest
/// site that it was found with.
/// </summary>
public sealed class WindowPropertyTests
{
    private const int Sites = 120;
    private const int Span = 120;
    private static readonly DateTime Base = Utc("2016-01-01");
    private static readonly string[] ZoneIds =
        ["UTC", "Europe/Berlin", "America/Sao_Paulo", "America/Havana", "Asia/Kathmandu", "Australia/Lord_Howe", "Pacific/Chatham", "Pacific/Apia", "Pacific/Kiritimati", "Africa/Casablanca", "Europe/Istanbul"];

    [Fact]
    public void The_windows_are_those_of_a_walk_over_every_day() => Check(one =>
        new WindowCalendar(one.Site).Next(one.From, 1_000).Where(window => window.OpensUtc < one.From.AddDays(Span)).Select(Words).SequenceEqual(Walk(one, frozen: false)));

    [Fact]
    public void Dropped_openings_are_those_of_the_walk_as_well() => Check(one =>
        new WindowCalendar(one.Site).Dropped(one.From, one.From.AddDays(Span).AddTicks(-1)).Select(Words).SequenceEqual(Walk(one, frozen: true)));

    [Fact]
    public void Fewer_windows_are_the_first_of_more() => Check(one =>
    {
        var calendar = new WindowCalendar(one.Site);
        Window[] all = [.. calendar.Next(one.From, 100)];
        return new[] { 0, 1, 2, 5, 20 }.All(count => calendar.Next(one.From, count).SequenceEqual(all.Take(count)));
    });

    [Fact]
    public void Later_windows_are_the_last_of_those_before() => Check(one =>
    {
        var calendar = new WindowCalendar(one.Site);
        DateTime later = one.From.AddDays(17.3);
        return calendar.Next(one.From, 200).Where(window => window.ClosesUtc > later).Take(20).SequenceEqual(calendar.Next(later, 20));
    });

    [Fact]
    public void No_window_of_a_rule_touches_a_freeze_and_none_is_given_twice() => Check(one =>
    {
        IReadOnlyList<Window> windows = new WindowCalendar(one.Site).Next(one.From, 60);
        return windows.Select(window => (window.OpensUtc, window.ClosesUtc)).Distinct().Count() == windows.Count
            && windows.All(window => !window.Frozen && window.InsideFreeze == (window.Freeze is not null) && Touches(one.Site, window.OpensLocal, window.ClosesLocal) == window.InsideFreeze)
            && windows.All(window => window.LocalTime == LocalTimeReading.MovedForward ? window.OpensLocal > window.WrittenLocal : window.OpensLocal == window.WrittenLocal);
    });

    // Each local day by itself, with NodaTime's own mapping; the same window once.
    private static IEnumerable<string> Walk(Case one, bool frozen)
    {
        DateTimeZone zone = DateTimeZoneProviders.Tzdb[one.Site.Zone];
        Dictionary<(DateTime, DateTime), (bool Attended, bool Inside)> extras = [];
        Dictionary<(DateTime, DateTime), (bool Attended, bool Inside)> found = [];
        void Add(Dictionary<(DateTime, DateTime), (bool Attended, bool Inside)> into, DateTime local, TimeSpan length, bool attended, Func<bool, bool> wanted)
        {
            ZonedDateTime[] both = [.. zone.ResolveAll(local)];
            ZonedDateTime opens = one.Site.LocalTime == LocalTimeChoice.First ? both[0] : both[^1];
            ZonedDateTime closes = opens.Plus(Duration.FromTimeSpan(length));
            (DateTime, DateTime) key = (opens.ToDateTimeUtc(), closes.ToDateTimeUtc());
            bool touches = Touches(one.Site, opens.ToDateTimeUnspecified(), closes.ToDateTimeUnspecified());
            if (key.Item2 > one.From && key.Item1 < one.From.AddDays(Span) && wanted(touches))
            {
                into[key] = (attended || (into.TryGetValue(key, out (bool Attended, bool) known) && known.Attended), touches);
            }
        }

        foreach (ExtraWindow extra in one.Site.ExtraWindows)
        {
            Add(extras, DateTime.Parse(extra.Opens, CultureInfo.InvariantCulture), extra.Length, extra.Attended, _ => true);
            Add(frozen ? extras : found, DateTime.Parse(extra.Opens, CultureInfo.InvariantCulture), extra.Length, extra.Attended, _ => true);
        }

        for (DateTime day = one.From.Date.AddDays(-40); day < one.From.AddDays(Span + 3); day = day.AddDays(1))
        {
            foreach (WindowRule rule in one.Site.Windows.Where(rule => OpensOn(rule, day)))
            {
                Add(found, day + TimeSpan.ParseExact(rule.Opens, @"hh\:mm", CultureInfo.InvariantCulture), rule.Length, rule.Attended, touches => touches == frozen);
            }
        }

        return found.Where(window => !frozen || !extras.ContainsKey(window.Key)).OrderBy(window => window.Key)
            .Select(window => $"{window.Key.Item1:O} {window.Key.Item2:O} {window.Value.Attended} {window.Value.Inside}");
    }

    // By counting: how many such days of the month there are up to this one, and after it.
    private static bool OpensOn(WindowRule rule, DateTime day)
    {
        DateTime[] alike = [.. Enumerable.Range(1, DateTime.DaysInMonth(day.Year, day.Month)).Select(number => new DateTime(day.Year, day.Month, number)).Where(other => other.DayOfWeek == day.DayOfWeek)];
        int place = Array.IndexOf(alike, day.Date);
        bool inWeek = rule.Weeks.Count == 0 || rule.Weeks.Contains(place + 1) || (rule.Weeks.Contains(-1) && place == alike.Length - 1);
        DateTime? from = rule.From is null ? null : DateTime.Parse(rule.From, CultureInfo.InvariantCulture);
        bool inPace = rule.EveryWeeks == 1 || (WeekOf(day) - WeekOf(from!.Value)) % rule.EveryWeeks == 0;
        return rule.Days.Contains(day.DayOfWeek) && inWeek && inPace && !(day < from) && !(rule.Until is not null && day > DateTime.Parse(rule.Until, CultureInfo.InvariantCulture));
    }

    // Weeks since some Monday, as ISO 8601 begins them.
    private static int WeekOf(DateTime day) => (int)Math.Floor((day - new DateTime(2001, 1, 1)).TotalDays / 7);

    private static bool Touches(Site site, DateTime opens, DateTime closes) =>
        site.Freezes.Any(freeze => opens < DateTime.Parse(freeze.Until, CultureInfo.InvariantCulture).AddDays(1) && closes > DateTime.Parse(freeze.From, CultureInfo.InvariantCulture));

    private static string Words(Window window) => $"{window.OpensUtc:O} {window.ClosesUtc:O} {window.Attended} {window.InsideFreeze || window.Frozen}";

    private static void Check(Func<Case, bool> holds) => Prop.ForAll(CaseGen().ToArbitrary(), holds).Check(Config.QuickThrowOnFailure.WithMaxTest(Sites));

    private static Gen<Case> CaseGen() =>
        from zone in Gen.Elements(ZoneIds)
        from day in Gen.Choose(0, 3500)
        from minute in Gen.Choose(0, 1439)
        from choice in Gen.Elements(LocalTimeChoice.First, LocalTimeChoice.Second)
        from rules in Some(4, RuleGen(day))
        from freezes in Some(2, FreezeGen(day))
        from extras in Some(3, ExtraGen(day))
        select new Case(
            new Site { Name = "quay", Zone = zone, LocalTime = choice, Windows = rules, Freezes = freezes, ExtraWindows = extras }, Base.AddDays(day).AddMinutes(minute));

    private static Gen<WindowRule> RuleGen(int day) =>
        from days in Some(4, Gen.Elements(Enum.GetValues<DayOfWeek>()))
        from weeks in Gen.Frequency((2, Gen.Constant<int[]>([])), (1, Some(3, Gen.Elements(1, 2, 3, 4, 5, -1))))
        from pace in Gen.Elements(1, 1, 2, 3)
        from opens in Gen.Elements("00:00", "00:30", "01:45", "02:00", "02:30", "03:00", "22:00", "23:59")
        from length in LengthGen()
        from attended in Gen.Elements(true, false)
        from start in Gen.Choose(-30, 60)
        from limits in Gen.Choose(0, 3)
        select new WindowRule
        {
            Days = days,
            Weeks = weeks,
            EveryWeeks = weeks.Length == 0 ? pace : 1,
            Opens = opens,
            Length = length,
            Attended = attended,
            From = limits > 1 || (weeks.Length == 0 && pace > 1) ? Date(day + start) : null,
            Until = limits % 2 == 1 ? Date(day + start + 20) : null,
        };

    private static Gen<Freeze> FreezeGen(int day) =>
        from start in Gen.Choose(-20, 80)
        from length in Gen.Choose(0, 20)
        select new Freeze { From = Date(day + start), Until = Date(day + start + length) };

    private static Gen<ExtraWindow> ExtraGen(int day) =>
        from start in Gen.Choose(-32, 80)
        from opens in Gen.Elements("00:00", "02:30", "22:00")
        from length in LengthGen()
        from attended in Gen.Elements(true, false)
        select new ExtraWindow { Opens = $"{Date(day + start)}T{opens}", Length = length, Attended = attended };

    private static Gen<TimeSpan> LengthGen() => Gen.Elements(1, 60, 120, 300, 1440, 2880, 44640).Select(minutes => TimeSpan.FromMinutes(minutes));

    private static Gen<T[]> Some<T>(int most, Gen<T> one) => from count in Gen.Choose(0, most) from items in one.ArrayOf(count) select items;

    private static string Date(int day) => Base.AddDays(day).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private sealed record Case(Site Site, DateTime From)
    {
        public override string ToString() => $"{Site.Zone} {Site.LocalTime} from {From:O}: {string.Join("; ", Site.Windows.Select(rule => $"{string.Join(",", rule.Days)} {string.Join(",", rule.Weeks)} /{rule.EveryWeeks} {rule.From}..{rule.Until} {rule.Opens} {rule.Length} {rule.Attended}"))} | {string.Join("; ", Site.Freezes)} | {string.Join("; ", Site.ExtraWindows)}";
    }
}

/// <summary>Both instants of a local time, or the one that it moves forward to, by NodaTime's lenient reading.</summary>
internal static class LenientZones
{
    public static IEnumerable<ZonedDateTime> ResolveAll(this DateTimeZone zone, DateTime local)
    {
        LocalDateTime time = LocalDateTime.FromDateTime(local);
        ZonedDateTime lenient = zone.AtLeniently(time);
        return lenient.LocalDateTime == time && zone.MapLocal(time).Count == 2 ? [lenient, zone.MapLocal(time).Last()] : [lenient];
    }
}
