using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>How much of its window a planned unit needs, and whether there is as much.</summary>
internal static class WindowRoom
{
    /// <summary>The worst case with recovery and reserve, in seconds.</summary>
    public static double NeedSeconds(PlannedUnit unit) => unit.WorstSeconds + unit.RecoverSeconds + unit.ReserveSeconds;

    /// <summary>True where the unit's window is open and stays open for as long as the unit may need.</summary>
    public static bool Fits(PlannedUnit unit, DateTime utc) => utc >= unit.WindowOpensUtc && utc.AddSeconds(NeedSeconds(unit)) <= unit.WindowClosesUtc;
}
