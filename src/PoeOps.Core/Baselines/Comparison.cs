using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Baselines;

/// <summary>Holds controllers against a baseline.</summary>
public static class Comparison
{
    /// <summary>The verdict on one controller.</summary>
    /// <param name="c">The controller as it was read.</param>
    /// <param name="b">The baseline.</param>
    /// <param name="dialect">The controller's dialect, which knows how its versions are spelled; null to take runs of digits and letters as their parts.</param>
    /// <returns>The verdict, its reason, and for a controller that is behind the images that lead to the approved firmware. Nothing throws.</returns>
    public static Drift Compare(Controller c, Baseline b, Dialect? dialect)
    {
        var drift = new Drift(c) { BaselinePath = b.SourcePath };
        try
        {
            return OutOfOrder(drift) ?? Listed(drift, b, dialect ?? new Dialect());
        }
        catch (RegexMatchTimeoutException exception)
        {
            return drift with
            {
                Verdict = Verdict.Unreadable,
                Reason = $"The dialect's pattern '{Excerpt.Of(exception.Pattern)}' took too long on a version, so nothing was compared.",
            };
        }
    }

    /// <summary>The verdict on a controller whose dialect cannot be had: without it nobody knows how its versions order.</summary>
    /// <param name="c">The controller as it was read.</param>
    /// <param name="why">Why there is no dialect.</param>
    public static Drift WithoutDialect(Controller c, Problem why)
    {
        var drift = new Drift(c);
        return OutOfOrder(drift) ?? Unreadable(drift, $"Its versions cannot be compared without their dialect. {why.Sentence}");
    }

    private static Drift? OutOfOrder(Drift drift)
    {
        Controller c = drift.Controller;
        string word = string.IsNullOrWhiteSpace(c.ConditionText) ? string.Empty : $"; the device says '{Excerpt.Of(c.ConditionText)}'";
        string? fault = c.Condition switch
        {
            ControllerCondition.Absent => $"The unit is listed without a controller{word}.",
            ControllerCondition.Faulted => $"The controller has a fault{word}.",
            _ => null,
        };
        if (fault is not null)
        {
            return drift with { Verdict = Verdict.Faulted, Reason = fault };
        }

        string? missing = string.IsNullOrWhiteSpace(c.Model) ? "hardware model" : string.IsNullOrWhiteSpace(c.Firmware) ? "firmware version" : null;
        string why = missing == "firmware version" && c.FirmwareUnread is { } reason ? $": {reason}" : string.Empty;
        return missing is null ? null : Unreadable(drift, $"No {missing} was read{why}.");
    }

    private static Drift Listed(Drift drift, Baseline b, Dialect dialect)
    {
        BaselineEntry[] ofModel = [.. b.Entries.Where(entry => string.Equals(entry.Model, drift.Model!.Trim(), StringComparison.OrdinalIgnoreCase))];
        if (ofModel.Length == 0)
        {
            return Unlisted(drift, $"The baseline '{b.Name}' has no entry for model '{Excerpt.Of(drift.Model)}'{Nearest.Hint(drift.Model!, b.Entries.Select(entry => entry.Model))}.");
        }

        ControllerVersion? release = dialect.Release.Read(drift.Release);
        bool needsRelease = ofModel.Any(entry => entry.ReleaseFrom is not null || entry.ReleaseBefore is not null);
        if (needsRelease && ReleaseTrouble(drift, release, ofModel, dialect) is { } trouble)
        {
            return Unreadable(drift, trouble);
        }

        BaselineEntry[] fitting = [.. ofModel.Where(entry => Covers(entry, release, dialect))];
        return fitting.Length switch
        {
            0 => Unlisted(drift, $"The baseline '{b.Name}' has {string.Join(" and ", ofModel.Select(EntryOverlap.Releases))} of model '{Excerpt.Of(drift.Model)}', and release {drift.Release} is not among them."),
            1 => Compared(drift with { Entry = fitting[0] }, fitting[0], dialect),
            _ => Unreadable(drift, $"The baseline '{b.Name}' has {Say(fitting.Length)} entries that cover model '{Excerpt.Of(drift.Model)}' on release {drift.Release}."),
        };
    }

    private static string? ReleaseTrouble(Drift drift, ControllerVersion? release, IEnumerable<BaselineEntry> entries, Dialect dialect)
    {
        if (string.IsNullOrWhiteSpace(drift.Release))
        {
            return "No software release was read, and the baseline's entry depends on it.";
        }

        if (release is null)
        {
            return $"The release '{Excerpt.Of(drift.Release)}' is no version in any spelling of the dialect '{dialect.Name}'.";
        }

        string? bad = entries.SelectMany(entry => new[] { entry.ReleaseFrom, entry.ReleaseBefore }).FirstOrDefault(bound => bound is not null && dialect.Release.Read(bound) is null);
        return bad is null ? null : $"The release '{Excerpt.Of(bad)}' in the baseline is no version in any spelling of the dialect '{dialect.Name}'.";
    }

    private static bool Covers(BaselineEntry entry, ControllerVersion? release, Dialect dialect) =>
        (entry.ReleaseFrom is null || release >= dialect.Release.Read(entry.ReleaseFrom)) &&
        (entry.ReleaseBefore is null || release < dialect.Release.Read(entry.ReleaseBefore));

    private static Drift Compared(Drift drift, BaselineEntry entry, Dialect dialect)
    {
        if (dialect.Firmware.Read(drift.Firmware) is not { } runs)
        {
            return Unreadable(drift, $"The firmware '{Excerpt.Of(drift.Firmware)}' is no version in any spelling of the dialect '{dialect.Name}'.");
        }

        string? bad = entry.Hops.SelectMany(hop => new[] { hop.Below, hop.Firmware }).Prepend(entry.Firmware).FirstOrDefault(text => dialect.Firmware.Read(text) is null);
        if (bad is not null)
        {
            return Unreadable(drift, $"The firmware '{Excerpt.Of(bad)}' in the baseline is no version in any spelling of the dialect '{dialect.Name}'.");
        }

        if (HopOrder.Wrong(entry, dialect.Firmware.Read) is { } wrong)
        {
            return Unreadable(drift, wrong);
        }

        ControllerVersion approved = dialect.Firmware.Read(entry.Firmware)!;
        if (dialect.Name.Length == 0 && BeginsWithNumber(runs) != BeginsWithNumber(approved))
        {
            return Unreadable(drift, $"The firmware '{Excerpt.Of(drift.Firmware)}' and the approved '{Excerpt.Of(entry.Firmware)}' are spelled in different ways, and no dialect says how.");
        }

        return runs.CompareTo(approved) switch
        {
            0 => drift with { Verdict = Verdict.Current, Reason = SameReason(drift.Firmware!.Trim(), entry.Firmware) },
            > 0 => drift with { Verdict = Verdict.Ahead, Reason = $"It runs {drift.Firmware}, which is newer than the approved {entry.Firmware}." },
            _ => Behind(drift, HopPath.From(runs, entry, dialect)),
        };
    }

    // Where no dialect says what the parts are, a word in front of one and not of the other would decide which is older.
    private static bool BeginsWithNumber(ControllerVersion version) => version.Parts.Count == 0 || char.IsDigit(version.Parts[0][0]);

    private static Drift Behind(Drift drift, IReadOnlyList<Hop> path)
    {
        string way = path.Count == 1 ? "one image leads there" : $"{Say(path.Count)} images lead there: {string.Join(", then ", path.Select(hop => hop.Firmware))}";
        return drift with { Verdict = Verdict.Behind, Path = path, Reason = $"It runs {drift.Firmware}, which is older than the approved {drift.ApprovedFirmware}; {way}." };
    }

    private static string SameReason(string runs, string approved) =>
        runs == approved ? $"It runs {runs}, which is approved." : $"It runs {runs}, which is the approved {approved} in another spelling.";

    private static Drift Unlisted(Drift drift, string reason) => drift with { Verdict = Verdict.Unlisted, Reason = reason };

    private static Drift Unreadable(Drift drift, string reason) => drift with { Verdict = Verdict.Unreadable, Reason = reason };

    private static string Say(int number) => number.ToString(CultureInfo.InvariantCulture);
}
