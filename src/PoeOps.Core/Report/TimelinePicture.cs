using System.Globalization;
using PoeOps.Refresh;

namespace PoeOps.Report;

/// <summary>Draws windows with their units: planned above, real below, each stage a part of the bar. The table beside it has the same times in words.</summary>
internal sealed class TimelinePicture
{
    private const int Width = 960;
    private const int Margin = 24;
    private const int Head = 30;
    private const int RowHeight = 42;
    private static readonly TimeSpan Near = TimeSpan.FromHours(12);

    private readonly PageWriter _page;
    private readonly WindowSummary _window;
    private readonly UnitSummary[] _units;
    private readonly DateTime _from;
    private readonly DateTime _until;
    private readonly string _id;
    private readonly bool _isPlanAlone;

    private TimelinePicture(PageWriter page, WindowSummary window, UnitSummary[] units, int number, bool isPlanAlone)
    {
        _isPlanAlone = isPlanAlone;
        _page = page;
        _window = window;
        _units = units;
        _id = "w" + ReportText.Number(number);
        DateTime[] real = [.. units.Where(IsNear).SelectMany(unit => new[] { unit.GatesUtc, Left(unit) }).OfType<DateTime>()];
        DateTime[] work = [.. real.Concat(units.SelectMany(unit => new[] { unit.PlannedStartUtc, unit.PlannedEndUtc }).OfType<DateTime>()).DefaultIfEmpty(window.OpensUtc)];

        // Of a window that is far longer than the work in it, the part around the work.
        double around = Math.Max(600, (work.Max() - work.Min()).TotalSeconds / 5);
        DateTime from = ReportTime.Later(work.Min(), -around) ?? work.Min();
        DateTime until = ReportTime.Later(work.Max(), around) ?? work.Max();
        _from = real.Append(from > window.OpensUtc ? from : window.OpensUtc).Min();
        _until = real.Append(until < window.ClosesUtc ? until : window.ClosesUtc).Append(ReportTime.Later(_from, 60) ?? _from).Max();
    }

    /// <summary>Draws the windows in order, as many units as there is room for.</summary>
    /// <returns>How many units are in no picture.</returns>
    public static int WriteAll(PageWriter page, RunSummary summary, int most)
    {
        int room = most;
        int left = 0;
        int number = 0;
        foreach (WindowSummary window in summary.Windows)
        {
            UnitSummary[] units = [.. window.Units.Take(room).Select(at => summary.Units[at])];
            left += window.Units.Count - units.Length;
            room -= units.Length;
            if (units.Length > 0)
            {
                new TimelinePicture(page, window, units, ++number, summary.IsPlanAlone).Write();
            }
        }

        return left;
    }

    private void Write()
    {
        string name = ReportTables.WindowName(_window);
        _page.Open("figure", ("class", "windows"));
        _page.Element("figcaption", $"{name}{(_window.Attended ? ", attended" : string.Empty)}");
        _page.Open("div", ("class", "wide"), ("tabindex", "0"), ("role", "region"), ("aria-label", $"Picture of {name} ({_id})"));
        int height = Head + (_units.Length * RowHeight) + 44;
        _page.Open("svg", ("class", "timeline"), ("viewBox", FormattableString.Invariant($"0 0 {Width} {height}")), ("role", "img"), ("aria-labelledby", $"{_id}-t {_id}-d"));
        _page.Element("title", name, ("id", _id + "-t"));
        _page.Element("desc", Description(), ("id", _id + "-d"));
        WriteAxis();
        for (int i = 0; i < _units.Length; i++)
        {
            WriteUnit(_units[i], Head + (i * RowHeight));
        }

        WriteLegend(height - 20);
        _page.Close();
        _page.Close();
        _page.Close();
        _page.Line();
    }

    private string Description() =>
        $"{ReportText.Count(_units.Length, "unit")} from {ReportText.Of((DateTime?)_from)} to {ReportText.Of((DateTime?)_until)}: {string.Join("; ", _units.Take(12).Select(InWords))}{(_units.Length > 12 ? "; and more" : string.Empty)}. The table below has all times.";

    private static string InWords(UnitSummary unit) =>
        $"{ReportText.Clip(unit.UnitId, 40)} {ReportText.Of(unit.State).ToLowerInvariant()}{(unit.PlannedStartUtc is { } start ? $", planned {ReportText.Clock(start)}" : string.Empty)}{(unit.BeganUtc is { } began ? $", begun {ReportText.Clock(began)}" : string.Empty)}";

    private void WriteAxis()
    {
        TimeSpan step = TimeSpan.FromMinutes(1);
        foreach (int times in new[] { 5, 2, 3, 2, 2, 3, 2, 2 }.Concat(Enumerable.Repeat(2, 24)))
        {
            step = (_until - _from).Ticks / step.Ticks > 9 ? TimeSpan.FromTicks(step.Ticks * times) : step;
        }

        bool days = step >= TimeSpan.FromHours(24);
        for (long ticks = (_from.Ticks + step.Ticks - 1) / step.Ticks * step.Ticks; ticks <= _until.Ticks; ticks += step.Ticks)
        {
            DateTime at = new(ticks, DateTimeKind.Utc);
            Upright("axis", X(at));
            Text(days ? at.ToString("MM-dd", CultureInfo.InvariantCulture) : ReportText.Clock(at), X(at), Head - 13, "middle");
        }

        foreach (DateTime edge in new[] { _window.OpensUtc, _window.ClosesUtc }.Where(edge => _window.IsPlanned && edge >= _from && edge <= _until))
        {
            Upright("edge", X(edge));
        }
    }

    private void WriteUnit(UnitSummary unit, int top)
    {
        string elsewhere = unit.GatesUtc is not null && !IsNear(unit) ? ", worked on at another time" : string.Empty;
        Text($"{ReportText.Clip(unit.UnitId, 48)}{(unit.Hops > 1 ? $" ({ReportText.Number(unit.Hop)} of {ReportText.Number(unit.Hops)})" : string.Empty)}: {ReportText.Of(unit.State).ToLowerInvariant()}{elsewhere}", Margin, top + 13, "start");
        if (unit is { PlannedStartUtc: { } start, PlannedEndUtc: { } end })
        {
            Bar("planned", start, end, top + 18, 7, $"planned {ReportText.Clock(start)} to {ReportText.Clock(end)} at worst");
            double before = Typical(unit, Stage.Gate) + Typical(unit, Stage.Transfer);
            if (unit.PlannedDarkSecondsTypical is { } dark)
            {
                Bar("planned-dark", Later(start, before), Later(start, before + dark), top + 19, 5, $"planned to be dark for {ReportText.Of((double?)dark)} s");
            }
        }

        if (unit.BeganUtc is not null && IsNear(unit))
        {
            WriteReal(unit, top + 27);
        }
    }

    private void WriteReal(UnitSummary unit, int top)
    {
        StageSummary[] stages = [.. unit.Stages.Where(stage => stage.BeganUtc is not null)];
        DateTime end = Left(unit) ?? _until;
        if (stages.Length == 0 || unit.EndedUtc is null)
        {
            Bar("open", unit.BeganUtc!.Value, end, top, 10, "its end or its stages are not written");
        }

        for (int i = 0; i < stages.Length; i++)
        {
            DateTime began = stages[i].BeganUtc!.Value;
            DateTime ended = stages[i].RealSeconds is { } seconds ? Later(began, seconds) : i + 1 < stages.Length ? stages[i + 1].BeganUtc!.Value : end;
            string style = stages[i].Stage == nameof(Stage.Recover) ? "back" : unit.DarkFromUtc is { } dark && began >= dark ? "dark" : "lit";
            Bar(style, began, ended, top, 10, $"{stages[i].Stage}, {ReportText.Of(stages[i].RealSeconds)} s");
        }

        if (unit is { DarkFromUtc: { } from, RealDarkSeconds: { } real } && unit.LoadsBack == unit.Loads)
        {
            Line("mark", X(Later(from, real)), top - 2, X(Later(from, real)), top + 12);
        }
    }

    private void WriteLegend(int y)
    {
        (string Style, string Text, int X)[] parts =
            [("planned", "planned, at worst", 24), ("planned-dark", "planned dark", 174), ("lit", "transfer", 300), ("dark", "dark", 400), ("back", "recovery", 480), ("open", "end not known", 580)];
        foreach ((string style, string text, int x) in parts.Take(_isPlanAlone ? 2 : parts.Length))
        {
            Rectangle(style, x, y, 18, 9, null);
            Text(text, x + 23, y + 9, "start");
        }

        if (_isPlanAlone)
        {
            return;
        }

        Line("mark", 728, y - 1, 728, y + 11);
        Text("last load has power", 736, y + 9, "start");
    }

    private static double Typical(UnitSummary unit, Stage stage) => unit.Stages.FirstOrDefault(one => one.Stage == stage.ToString())?.TypicalSeconds ?? 0;

    private DateTime Later(DateTime utc, double seconds) => ReportTime.Later(utc, seconds) ?? _until;

    private static DateTime? Left(UnitSummary unit) => unit.EndedUtc ?? unit.Stages.Max(stage => stage.BeganUtc) ?? unit.BeganUtc;

    private bool IsNear(UnitSummary unit) => !_window.IsPlanned || (unit.GatesUtc is { } gates && _window.OpensUtc - gates <= Near && gates - _window.ClosesUtc <= Near && Left(unit) - _window.ClosesUtc <= Near);

    private double X(DateTime utc)
    {
        double share = (double)(utc - _from).Ticks / Math.Max(1, (_until - _from).Ticks);
        return Margin + (Math.Max(0, Math.Min(1, share)) * (Width - (2 * Margin)));
    }

    private void Bar(string style, DateTime from, DateTime until, int top, int height, string title) => Rectangle(style, X(from), top, Math.Max(1, X(until) - X(from)), height, title);

    private void Rectangle(string style, double x, double y, double width, double height, string? title)
    {
        _page.Open("rect", ("class", style), ("x", Svg(x)), ("y", Svg(y)), ("width", Svg(width)), ("height", Svg(height)));
        if (title is not null)
        {
            _page.Element("title", title);
        }

        _page.Close();
    }

    private void Line(string style, double x1, double y1, double x2, double y2)
    {
        _page.Open("line", ("class", style), ("x1", Svg(x1)), ("y1", Svg(y1)), ("x2", Svg(x2)), ("y2", Svg(y2)));
        _page.Close();
    }

    // Beside the bars alone: a line through the names of the rows would strike them out.
    private void Upright(string style, double x)
    {
        IEnumerable<string> rows = Enumerable.Range(0, _units.Length).Select(row => FormattableString.Invariant($"M{Svg(x)} {Head + (row * RowHeight) + 17}V{Head + ((row + 1) * RowHeight)}"));
        _page.Open("path", ("class", style), ("d", FormattableString.Invariant($"M{Svg(x)} {Head - 8}V{Head}") + string.Concat(rows)));
        _page.Close();
    }

    private void Text(string text, double x, double y, string anchor) => _page.Element("text", text, ("x", Svg(x)), ("y", Svg(y)), ("text-anchor", anchor));

    private static string Svg(double number) => number.ToString("0.#", CultureInfo.InvariantCulture);
}
