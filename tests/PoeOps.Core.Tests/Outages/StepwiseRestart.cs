using PoeOps.Outages;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Outages;

/// <summary>
/// The restart of a unit as its description says it, in steps of a tenth of a second and plain loops: every step looks at every port. It shares nothing
/// with what it checks but the class figures. All times must be whole tenths.
/// </summary>
internal static class StepwiseRestart
{
    public static (List<string> Ports, List<string> Steps) Simulate(RestartUnit unit)
    {
        List<Cell> byPort = [.. unit.Ports.Select(port => new Cell(port)).OrderBy(cell => int.Parse(cell.Port.Name, System.Globalization.CultureInfo.InvariantCulture))];
        List<Cell> order = [.. byPort.OrderBy(cell => cell.Port.Priority)];
        decimal grantable = Math.Max(0, unit.BudgetWatts - unit.GuardBandWatts);
        int stagger = (int)(unit.StaggerSeconds * 10);
        Cell? slot = null;
        int slotEnds = 0;
        List<string> steps = ["0: 0"];
        decimal last = 0;
        for (int tenth = 0; tenth < 100_000; tenth++)
        {
            decimal Granted() => byPort.Sum(cell => cell.Watts);

            void Changes()
            {
                foreach (Cell cell in byPort.Where(cell => cell.ChangesAt == tenth))
                {
                    cell.ChangesAt = -1;
                    decimal wanted = (unit.Policy == RestartPolicy.ByDraw ? cell.Port.DrawWatts : cell.Port.NegotiatedWatts)!.Value;
                    if (wanted <= cell.Watts || Granted() - cell.Watts + wanted <= grantable)
                    {
                        cell.Watts = wanted;
                        cell.Reduced = false;
                    }
                    else
                    {
                        cell.Reduced = true;
                    }
                }
            }

            decimal Claim(Cell cell) => cell.Port.FixedWatts is { } given ? given : unit.Policy == RestartPolicy.ByLimit && cell.Port.LimitWatts is { } limit ? limit : cell.Port.Signature.FigureWatts(unit.Clause);

            decimal? Grant(Cell cell)
            {
                decimal left = grantable - Granted();
                IEnumerable<decimal> levels = unit.Demotes ? new[] { 6, 4, 3 }.Select(level => PdClass.FigureWattsOf(level, unit.Clause)).Where(watts => watts < Claim(cell)) : [];
                return new[] { Claim(cell) }.Concat(levels).Where(watts => watts <= left).Select(watts => (decimal?)watts).FirstOrDefault();
            }

            Changes();
            if (slot is not null && slotEnds == tenth)
            {
                if (Grant(slot) is { } watts)
                {
                    slot.Watts = watts;
                    slot.Reduced = watts < Claim(slot);
                    slot.BackAt = tenth;
                    decimal? seconds = slot.Port.FixedWatts is not null ? null : unit.Policy == RestartPolicy.ByClass && slot.Port.NegotiatedWatts is not null ? slot.Port.NegotiateSeconds
                        : unit.Policy == RestartPolicy.ByDraw && slot.Port.DrawWatts is not null ? slot.Port.BootSeconds : null;
                    slot.ChangesAt = seconds is { } after ? tenth + (int)(after * 10) : -1;
                    Changes();
                }

                slot = null;
            }

            if (slot is null)
            {
                slot = order.FirstOrDefault(cell => cell.BackAt < 0 && (!cell.Tried || Grant(cell) is not null));
                if (slot is not null)
                {
                    slot.Tried = true;
                    slotEnds = tenth + stagger;
                }
            }

            if (Granted() != last)
            {
                last = Granted();
                steps.Add(Step(tenth / 10m, last));
            }

            if (slot is null && byPort.TrueForAll(cell => cell.ChangesAt < 0))
            {
                break;
            }
        }

        return ([.. order.Select(cell => Line(cell.Port.Name, cell.BackAt < 0 ? RestartOutcome.Refused : cell.Reduced ? RestartOutcome.Reduced : RestartOutcome.Back, cell.BackAt < 0 ? null : cell.BackAt / 10m, cell.Watts))], steps);
    }

    public static string Line(string name, RestartOutcome outcome, decimal? back, decimal watts) => FormattableString.Invariant($"{name} {outcome} {back:0.#} {watts:0.##}");

    public static string Step(decimal seconds, decimal watts) => FormattableString.Invariant($"{seconds:0.#}: {watts:0.##}");

    private sealed class Cell(RestartPort port)
    {
        public RestartPort Port => port;

        public bool Tried { get; set; }

        public int BackAt { get; set; } = -1;

        public int ChangesAt { get; set; } = -1;

        public decimal Watts { get; set; }

        public bool Reduced { get; set; }
    }
}
