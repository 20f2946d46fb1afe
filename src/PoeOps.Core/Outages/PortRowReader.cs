using System.Globalization;
using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>Reads the columns of one row; what cannot be read is told with row, port and column.</summary>
internal sealed class PortRowReader(PortRow row, IList<Problem> problems)
{
    private const string Advice = "Correct the list there, or leave the field empty where it is not known.";

    /// <summary>How reports name the row.</summary>
    public string Name => $"Row {row.Number.ToString(CultureInfo.InvariantCulture)}{(row["Switch"] is { } s && row["Unit"] is { } u && row["Port"] is { } p ? $" ({Excerpt.Of($"{s}/{u}/{p}")})" : string.Empty)}";

    /// <summary>An amount of power, or null.</summary>
    public decimal? Watts(string column)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        if (Power.Watts.TryParse(text, out Watts watts, out Problem? problem))
        {
            return watts.Value;
        }

        Report(problem!.Id, column, problem.Sentence, problem.Advice);
        return null;
    }

    /// <summary>A number of seconds, or null.</summary>
    public double? Seconds(string column)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        if (double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double seconds) && seconds is >= 0 and <= 86400)
        {
            return seconds;
        }

        Report(ProblemId.PortRowUnreadable, column, $"'{Excerpt.Of(text)}' is no number of seconds from 0 to 86400.", "Write digits with a full stop as the decimal mark, such as 90 or 2.5.");
        return null;
    }

    /// <summary>A whole number within bounds, or null.</summary>
    public int? Digit(string column, int least, int most, ProblemId id)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int number) && number >= least && number <= most)
        {
            return number;
        }

        Report(id, column, FormattableString.Invariant($"'{Excerpt.Of(text)}' is none from {least} to {most}."), Advice);
        return null;
    }

    /// <summary>One of the names of an enumeration, or null.</summary>
    public T? Word<T>(string column)
        where T : struct
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        string[] names = Enum.GetNames(typeof(T));
        if (names.FirstOrDefault(name => string.Equals(name, text, StringComparison.OrdinalIgnoreCase)) is { } known)
        {
            return (T)Enum.Parse(typeof(T), known);
        }

        Report(ProblemId.PortRowUnreadable, column, $"'{Excerpt.Of(text)}' is none of {string.Join(", ", names)}{Nearest.Hint(text, names)}.", Advice);
        return null;
    }

    /// <summary>True or false, or null.</summary>
    public bool? Flag(string column)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        if (bool.TryParse(text, out bool flag))
        {
            return flag;
        }

        Report(ProblemId.PortRowUnreadable, column, $"'{Excerpt.Of(text)}' is neither True nor False.", Advice);
        return null;
    }

    /// <summary>A text as it can be shown, or null.</summary>
    public string? Text(string column) => row[column] is { } text ? PlainText.Of(text) : null;

    /// <summary>The port of the row.</summary>
    public Port Port() => new()
    {
        Site = Text("Site") ?? string.Empty,
        Switch = Text("Switch") ?? string.Empty,
        Unit = Text("Unit") ?? string.Empty,
        Name = Text("Port") ?? string.Empty,
        Status = Word<DetectionStatus>("Status") ?? Assumed(),
        AdminEnabled = Flag("AdminEnabled"),
        PdClass = Digit("PdClass", 0, 8, ProblemId.ClassUnknown),
        PdClassA = Digit("PdClassA", 1, 5, ProblemId.ClassUnknown),
        PdClassB = Digit("PdClassB", 1, 5, ProblemId.ClassUnknown),
        Priority = Word<PortPriority>("Priority"),
        AllocatedWatts = Watts("AllocatedWatts"),
        AllocatedPdWatts = Watts("AllocatedPdWatts"),
        AllocatedBy = Word<AllocationSource>("AllocatedBy"),
        DrawWatts = Watts("DrawWatts"),
        LimitWatts = Watts("LimitWatts"),
        Load = Text("Load"),
        Role = Text("Role") ?? string.Empty,
        LifeSafety = Flag("LifeSafety") ?? false,
        RestartSeconds = Seconds("RestartSeconds"),
        NegotiateSeconds = Seconds("NegotiateSeconds"),
    };

    // A list that says nothing of it is one of powered ports.
    private DetectionStatus? Assumed() => Flag("Delivering") is { } delivering ? (delivering ? DetectionStatus.DeliveringPower : DetectionStatus.Searching)
        : row.Columns.ContainsKey("Status") || row.Columns.ContainsKey("Delivering") ? null : DetectionStatus.DeliveringPower;

    /// <summary>Adds a problem with the row.</summary>
    public void Report(ProblemId id, string? column, string sentence, string advice) =>
        problems.Add(new Problem(id, $"{Name}{(column is null ? string.Empty : $", {column}")}: {sentence}", advice) { Target = row["Switch"] is { } s && row["Unit"] is { } u ? $"{s}/{u}" : null });
}
