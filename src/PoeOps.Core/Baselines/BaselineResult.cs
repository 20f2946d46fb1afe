namespace PoeOps.Baselines;

/// <summary>What came of reading a baseline.</summary>
/// <param name="Baseline">The baseline, or null where there is any problem.</param>
/// <param name="Problems">Every mistake that was found; empty where there is none.</param>
public sealed record BaselineResult(Baseline? Baseline, IReadOnlyList<Problem> Problems);
