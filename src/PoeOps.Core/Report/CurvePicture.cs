using System.Globalization;
using System.Text;

namespace PoeOps.Report;

/// <summary>Draws the restart curve of a unit: watts over the seconds since the reset ended, by the plan and real, against the budget; beside it the same as a table.</summary>
internal static class CurvePicture
{
    private const int Width = 460;
    private const int Height = 236;
    private const int Left = 52;
    private const int Right = 446;
    private const int Top = 12;
    private const int Bottom = 172;
    private const int MostSteps = 80;

    /// <summary>Writes the figure.</summary>
    public static void Write(PageWriter page, RestartCurve curve, int number)
    {
        string id = "curve-" + ReportText.Number(number);
        page.Open("figure");
        page.Element("figcaption", $"Restart of {ReportText.Clip(curve.UnitId, 80)}");
        double seconds = Math.Max(1, curve.Planned.Concat(curve.Real).Select(step => step.Seconds).DefaultIfEmpty(1).Max());
        double watts = Math.Max(1, (double)new[] { curve.BudgetWatts ?? 0, curve.PlannedWatts, curve.Real.Count == 0 ? 0 : curve.Real[curve.Real.Count - 1].SumWatts }.Max()) * 1.08;
        page.Open("svg", ("class", "curve"), ("viewBox", FormattableString.Invariant($"0 0 {Width} {Height}")), ("role", "img"), ("aria-labelledby", $"{id}-t {id}-d"));
        page.Element("title", $"Restart of {ReportText.Clip(curve.UnitId, 80)}", ("id", id + "-t"));
        page.Element("desc", Description(curve), ("id", id + "-d"));
        WriteAxes(page, seconds, watts);
        if (curve.BudgetWatts is { } budget)
        {
            Path(page, "budget", FormattableString.Invariant($"M{Left} {Y((double)budget, watts):0.#}H{Right}"));
        }

        WriteSteps(page, "by-plan", curve.Planned, seconds, watts);
        WriteSteps(page, "real", curve.Real, seconds, watts);
        WriteLegend(page, curve);
        page.Close();
        WriteTable(page, curve);
        page.Close();
        page.Line();
    }

    private static string Description(RestartCurve curve)
    {
        string budget = curve.BudgetWatts is { } watts ? $"The budget is {ReportText.Of((decimal?)watts)} W. " : "The budget is not known. ";
        string planned = curve.Planned.Count == 0 ? "No plan says how power is granted." : $"By the plan {ReportText.Count(curve.Planned.Count, "load")} with {ReportText.Of((decimal?)curve.PlannedWatts)} W {(curve.Planned.Count == 1 ? "has" : "have")} power after {ReportText.Of((double?)curve.Planned[curve.Planned.Count - 1].Seconds)} s";
        string refused = curve.Planned.Count == 0 ? string.Empty : curve.RefusedLoads > 0 ? $", and {ReportText.Of(curve.RefusedLoads)} refused." : ".";
        string real = curve.Real.Count == 0 ? string.Empty : $" Really {ReportText.Count(curve.Real.Count, "load")} had power after {ReportText.Of((double?)curve.Real[curve.Real.Count - 1].Seconds)} s.";
        return budget + planned + refused + real + " The table below has each step.";
    }

    private static void WriteAxes(PageWriter page, double seconds, double watts)
    {
        Path(page, "axis", FormattableString.Invariant($"M{Left} {Top}V{Bottom}H{Right}"));
        foreach (double share in new[] { 0, 0.5, 1 })
        {
            Text(page, ReportText.Clip(ReportText.Of(Math.Round(watts * share)), 6), Left - 5, Y(watts * share, watts) + 4, "end");
            Text(page, ReportText.Clip(ReportText.Of(Math.Round(seconds * share, 1)), 9), X(seconds * share, seconds), Bottom + 15, share == 0 ? "start" : share == 1 ? "end" : "middle");
        }

        Text(page, "W", Left + 6, Top + 8, "start");
        Text(page, "seconds since the reset ended", (Left + Right) / 2.0, Bottom + 32, "middle");
    }

    private static void WriteLegend(PageWriter page, RestartCurve curve)
    {
        (string Style, string Text)[] parts =
        [
            ("budget", "budget " + Watts(curve.BudgetWatts)), ("by-plan", "plan " + Watts(curve.Planned.Count == 0 ? null : curve.PlannedWatts)), ("real", "real " + Watts(curve.Real.Count == 0 ? null : curve.Real[curve.Real.Count - 1].SumWatts)),
        ];
        for (int i = 0; i < (curve.Real.Count == 0 ? 2 : 3); i++)
        {
            int x = 8 + (i * 152);
            Path(page, parts[i].Style, FormattableString.Invariant($"M{x} {Height - 10}h24"));
            Text(page, parts[i].Text, x + 29, Height - 6, "start");
        }
    }

    private static void WriteTable(PageWriter page, RestartCurve curve)
    {
        Dictionary<string, CurveStep> real = new(StringComparer.OrdinalIgnoreCase);
        foreach (CurveStep step in curve.Real)
        {
            real[step.Port] = step;
        }

        HashSet<string> planned = new(curve.Planned.Select(step => step.Port), StringComparer.OrdinalIgnoreCase);
        IEnumerable<IReadOnlyList<string>> rows = curve.Planned
            .Select(step => (IReadOnlyList<string>)[step.Port, ReportText.Of((decimal?)step.Watts), ReportText.Of((double?)step.Seconds), ReportText.Of((decimal?)step.SumWatts), Of(real, step.Port, one => ReportText.Of((double?)one.Seconds)), Of(real, step.Port, one => ReportText.Of((decimal?)one.SumWatts))])
            .Concat(curve.Real.Where(step => !planned.Contains(step.Port)).Select(step => (IReadOnlyList<string>)[step.Port, ReportText.Of((decimal?)step.Watts), ReportText.Nothing, ReportText.Nothing, ReportText.Of((double?)step.Seconds), ReportText.Of((decimal?)step.SumWatts)]));
        string caption = $"Restart of {ReportText.Clip(curve.UnitId, 80)}, load by load";
        ReportTable table = new(string.Empty, string.Empty, caption, string.Empty, ReportTable.Of("Port", "#W", "#Planned s", "#Sum W", "#Real s", "#Real sum W"), [.. rows]);
        table = table.Without(curve.Real.Count == 0 ? ["Real s", "Real sum W"] : []);
        TableWriter.Bare(page, caption, table.Columns, table.Rows);
    }

    private static string Of(Dictionary<string, CurveStep> steps, string port, Func<CurveStep, string> text) => steps.TryGetValue(port, out CurveStep? step) ? text(step) : ReportText.Nothing;

    // In pieces: one attribute of a page holds so many characters and no more.
    private static void WriteSteps(PageWriter page, string style, IReadOnlyList<CurveStep> steps, double seconds, double watts)
    {
        double x = Left;
        double y = Bottom;
        for (int i = 0; i < steps.Count; i += MostSteps)
        {
            StringBuilder path = new(FormattableString.Invariant($"M{x:0.#} {y:0.#}"));
            foreach (CurveStep step in steps.Skip(i).Take(MostSteps))
            {
                x = X(step.Seconds, seconds);
                y = Y((double)step.SumWatts, watts);
                path.Append(FormattableString.Invariant($"H{x:0.#}V{y:0.#}"));
            }

            Path(page, style, i + MostSteps < steps.Count ? path.ToString() : path.Append(FormattableString.Invariant($"H{Right}")).ToString());
        }
    }

    private static void Path(PageWriter page, string style, string path)
    {
        page.Open("path", ("class", style), ("d", path));
        page.Close();
    }

    private static void Text(PageWriter page, string text, double x, double y, string anchor) =>
        page.Element("text", text, ("x", x.ToString("0.#", CultureInfo.InvariantCulture)), ("y", y.ToString("0.#", CultureInfo.InvariantCulture)), ("text-anchor", anchor));

    private static double X(double at, double most) => Left + (Math.Max(0, at) / most * (Right - Left));

    private static double Y(double at, double most) => Bottom - (at / most * (Bottom - Top));

    private static string Watts(decimal? watts) => watts is { } known ? ReportText.Clip(ReportText.Of((decimal?)Math.Round(known, 1)), 9) + " W" : ReportText.Nothing;
}
