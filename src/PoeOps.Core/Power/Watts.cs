using System.Globalization;

namespace PoeOps.Power;

/// <summary>An amount of power in watts. Decimal inside, so that sums are exact; never negative.</summary>
public readonly struct Watts : IEquatable<Watts>, IComparable<Watts>, IFormattable
{
    /// <summary>Makes an amount of power.</summary>
    /// <param name="value">Watts, 0 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">The value is negative.</exception>
    public Watts(decimal value) =>
        Value = value >= 0 ? value : throw new ArgumentOutOfRangeException(nameof(value), value, "An amount of power is 0 W or more.");

    /// <summary>No power.</summary>
    public static Watts Zero { get; }

    /// <summary>The number of watts.</summary>
    public decimal Value { get; }

    /// <summary>Reads a number of watts such as <c>15.4</c> or <c>15.4 W</c>: digits and at most one full stop, whatever the machine's culture.</summary>
    /// <param name="text">What to read.</param>
    /// <exception cref="PoeOpsException">The text is no such number (<see cref="ProblemId.WattsUnreadable"/>); says why.</exception>
    public static Watts Parse(string text) =>
        TryParse(text, out Watts watts, out Problem? problem) ? watts : throw new PoeOpsException(problem!);

    /// <summary>Reads a number of watts without throwing.</summary>
    /// <param name="text">What to read.</param>
    /// <param name="watts">The amount, or zero where it cannot be read.</param>
    /// <param name="problem">Why it cannot be read, or null.</param>
    /// <returns>True when it was read.</returns>
    public static bool TryParse(string? text, out Watts watts, out Problem? problem)
    {
        problem = StrictNumber.Read(text, "W", "watts", ProblemId.WattsUnreadable, out decimal value);
        watts = problem is null ? new Watts(value) : Zero;
        return problem is null;
    }

    /// <summary>The sum of two amounts, exact.</summary>
    public static Watts operator +(Watts left, Watts right) => new(left.Value + right.Value);

    /// <summary>What the first exceeds the second by.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The second is larger.</exception>
    public static Watts operator -(Watts left, Watts right) => new(left.Value - right.Value);

    /// <summary>True when both are the same number of watts.</summary>
    public static bool operator ==(Watts left, Watts right) => left.Value == right.Value;

    /// <summary>True when they differ.</summary>
    public static bool operator !=(Watts left, Watts right) => left.Value != right.Value;

    /// <summary>True when the first is smaller.</summary>
    public static bool operator <(Watts left, Watts right) => left.Value < right.Value;

    /// <summary>True when the first is larger.</summary>
    public static bool operator >(Watts left, Watts right) => left.Value > right.Value;

    /// <summary>True when the first is not larger.</summary>
    public static bool operator <=(Watts left, Watts right) => left.Value <= right.Value;

    /// <summary>True when the first is not smaller.</summary>
    public static bool operator >=(Watts left, Watts right) => left.Value >= right.Value;

    /// <summary>The sum, for languages without operators.</summary>
    public static Watts Add(Watts left, Watts right) => left + right;

    /// <summary>The difference, for languages without operators.</summary>
    public static Watts Subtract(Watts left, Watts right) => left - right;

    /// <summary>The energy of this power over a time.</summary>
    /// <param name="time">How long, 0 or more.</param>
    public WattHours Over(TimeSpan time) => new(Value * time.Ticks / TimeSpan.TicksPerHour);

    /// <inheritdoc/>
    public bool Equals(Watts other) => Value == other.Value;

    /// <inheritdoc/>
    public override bool Equals(object? obj) => obj is Watts other && Equals(other);

    /// <inheritdoc/>
    public override int GetHashCode() => Value.GetHashCode();

    /// <inheritdoc/>
    public int CompareTo(Watts other) => Value.CompareTo(other.Value);

    /// <summary>The number and its unit, such as <c>15.4 W</c>; <see cref="Parse"/> reads it back.</summary>
    public override string ToString() => StrictNumber.Print(Value, "W");

    /// <summary>The number and its unit, the same in every culture.</summary>
    public string ToString(string? format, IFormatProvider? formatProvider) =>
        string.IsNullOrEmpty(format) ? ToString() : Value.ToString(format, CultureInfo.InvariantCulture) + " W";
}
