namespace PoeOps.Rehearsal.Worlds;

/// <summary>What a simulated PSE sets aside for a PD of a class before it has negotiated, watts at the PSE (IEEE 802.3 clauses 33 and 145).</summary>
internal static class ClassFigures
{
    private static readonly decimal[] Figures = [15.4m, 4m, 7m, 15.4m, 30m, 45m, 60m, 75m, 90m];

    /// <summary>The figure of a class.</summary>
    /// <param name="pdClass">The class, 0 to 8.</param>
    public static decimal Of(int pdClass) => Figures[pdClass];
}
