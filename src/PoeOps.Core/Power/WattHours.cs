using System.Globalization;

namespace PoeOps.Power;

/// <summary>An amount of energy in watt-hours. Decimal inside, so that sums are exact; never negative.</summary>
public readonly struct WattHours : IEquatable<WattHours>, IComparable<WattHours>, IFormattable
{
    /// <summary>Makes an amount of energy.</summary>
    /// <param name="value">Watt-hours, 0 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">The value is negative.</exception>
    public WattHours(decimal value) =>
        Value = value >= 0 ? value : throw new ArgumentOutOfRangeException(nameof(value), value, "An amount of energy is 0 Wh or more.");

    /// <summary>No energy.</summary>
    public static WattHours Zero { get; }

    /// <summary>The number of watt-hours.</summary>
    public decimal Value { get; }

    /// <summary>Reads a number of watt-hours such as <c>15.4</c> or <c>15.4 Wh</c>: digits and at most one full stop, whatever the machine's culture.</summary>
    /// <param name="text">What to read.</param>
    /// <exception cref="PoeOpsException">The text is no such number (<see cref="ProblemId.WattHoursUnreadable"/>); says why.</exception>
    public static WattHours Parse(string text) =>
        TryParse(text, out WattHours energy, out Problem? problem) ? energy : throw new PoeOpsException(problem!);

    /// <summary>Reads a number of watt-hours without throwing.</summary>
    /// <param name="text">What to read.</param>
    /// <param name="energy">The amount, or zero where it cannot be read.</param>
    /// <param name="problem">Why it cannot be read, or null.</param>
    /// <returns>True when it was read.</returns>
    public static bool TryParse(string? text, out WattHours energy, out Problem? problem)
    {
        problem = StrictNumber.Read(text, "Wh", "watt-hours", ProblemId.WattHoursUnreadable, out decimal value);
        energy = problem is null ? new WattHours(value) : Zero;
        return problem is null;
    }

    /// <summary>The sum of two amounts, exact.</summary>
    public static WattHours operator +(WattHours left, WattHours right) => new(left.Value + right.Value);

    /// <summary>What the first exceeds the second by.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The second is larger.</exception>
    public static WattHours operator -(WattHours left, WattHours right) => new(left.Value - right.Value);

    /// <summary>True when both are the same number of watt-hours.</summary>
    public static bool operator ==(WattHours left, WattHours right) => left.Value == right.Value;

    /// <summary>True when they differ.</summary>
    public static bool operator !=(WattHours left, WattHours right) => left.Value != right.Value;

    /// <summary>True when the first is smaller.</summary>
    public static bool operator <(WattHours left, WattHours right) => left.Value < right.Value;

    /// <summary>True when the first is larger.</summary>
    public static bool operator >(WattHours left, WattHours right) => left.Value > right.Value;

    /// <summary>True when the first is not larger.</summary>
    public static bool operator <=(WattHours left, WattHours right) => left.Value <= right.Value;

    /// <summary>True when the first is not smaller.</summary>
    public static bool operator >=(WattHours left, WattHours right) => left.Value >= right.Value;

    /// <summary>The sum, for languages without operators.</summary>
    public static WattHours Add(WattHours left, WattHours right) => left + right;

    /// <summary>The difference, for languages without operators.</summary>
    public static WattHours Subtract(WattHours left, WattHours right) => left - right;

    /// <inheritdoc/>
    public bool Equals(WattHours other) => Value == other.Value;

    /// <inheritdoc/>
    public override bool Equals(object? obj) => obj is WattHours other && Equals(other);

    /// <inheritdoc/>
    public override int GetHashCode() => Value.GetHashCode();

    /// <inheritdoc/>
    public int CompareTo(WattHours other) => Value.CompareTo(other.Value);

    /// <summary>The number and its unit, such as <c>15.4 Wh</c>; <see cref="Parse"/> reads it back.</summary>
    public override string ToString() => StrictNumber.Print(Value, "Wh");

    /// <summary>The number and its unit, the same in every culture.</summary>
    public string ToString(string? format, IFormatProvider? formatProvider) =>
        string.IsNullOrEmpty(format) ? ToString() : Value.ToString(format, CultureInfo.InvariantCulture) + " Wh";
}
