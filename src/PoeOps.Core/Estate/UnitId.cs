using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Names one unit: a stack member or line card with one PSE controller. Prints as <c>switch/unit</c>, such as <c>north-1/2</c>.</summary>
public readonly struct UnitId : IEquatable<UnitId>, IComparable<UnitId>
{
    private readonly string? _switch;
    private readonly string? _unit;

    /// <summary>Names a unit of a switch.</summary>
    /// <param name="switchName">The switch, as the estate names it; no slash.</param>
    /// <param name="unit">The unit, as the device names it: text such as <c>2</c>, <c>B</c> or <c>left</c>; no slash.</param>
    /// <exception cref="PoeOpsException">A name is empty, too long or has a slash or control character (<see cref="ProblemId.UnitIdUnreadable"/>).</exception>
    public UnitId(string switchName, string unit)
    {
        string? wrong = NameParts.Check(switchName ?? string.Empty, slashAllowed: false) ?? NameParts.Check(unit ?? string.Empty, slashAllowed: false);
        if (wrong is not null)
        {
            throw new PoeOpsException(Unreadable($"{switchName}/{unit}", wrong));
        }

        _switch = switchName;
        _unit = unit;
    }

    /// <summary>The switch, as the estate names it.</summary>
    public string Switch => _switch ?? string.Empty;

    /// <summary>The unit, as the device names it.</summary>
    public string Unit => _unit ?? string.Empty;

    /// <summary>Reads <c>switch/unit</c>.</summary>
    /// <exception cref="PoeOpsException">The text is no unit id (<see cref="ProblemId.UnitIdUnreadable"/>); says why.</exception>
    public static UnitId Parse(string text)
    {
        string? wrong = NameParts.Split(text, 2, out string[] parts);
        return wrong is null ? new UnitId(parts[0], parts[1]) : throw new PoeOpsException(Unreadable(text, wrong));
    }

    /// <summary>Reads <c>switch/unit</c> without throwing.</summary>
    /// <param name="text">What to read.</param>
    /// <param name="id">The id; an empty one where the text is none.</param>
    /// <returns>True when it was read.</returns>
    public static bool TryParse(string text, out UnitId id)
    {
        bool good = NameParts.Split(text, 2, out string[] parts) is null;
        id = good ? new UnitId(parts[0], parts[1]) : default;
        return good;
    }

    /// <summary>True when both name the same unit; case does not matter.</summary>
    public static bool operator ==(UnitId left, UnitId right) => left.Equals(right);

    /// <summary>True when they name different units.</summary>
    public static bool operator !=(UnitId left, UnitId right) => !left.Equals(right);

    /// <summary>True when the first comes before the second in natural order.</summary>
    public static bool operator <(UnitId left, UnitId right) => left.CompareTo(right) < 0;

    /// <summary>True when the first comes after the second in natural order.</summary>
    public static bool operator >(UnitId left, UnitId right) => left.CompareTo(right) > 0;

    /// <summary>True when the first does not come after the second.</summary>
    public static bool operator <=(UnitId left, UnitId right) => left.CompareTo(right) <= 0;

    /// <summary>True when the first does not come before the second.</summary>
    public static bool operator >=(UnitId left, UnitId right) => left.CompareTo(right) >= 0;

    /// <inheritdoc/>
    public bool Equals(UnitId other) =>
        string.Equals(Switch, other.Switch, StringComparison.OrdinalIgnoreCase) &&
        string.Equals(Unit, other.Unit, StringComparison.OrdinalIgnoreCase);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => obj is UnitId other && Equals(other);

    /// <inheritdoc/>
    public override int GetHashCode() => StringComparer.OrdinalIgnoreCase.GetHashCode(ToString());

    /// <inheritdoc/>
    public int CompareTo(UnitId other)
    {
        // Names that differ in case alone are the same name, which the natural order tells apart.
        if (!string.Equals(Switch, other.Switch, StringComparison.OrdinalIgnoreCase))
        {
            return NaturalOrder.Instance.Compare(Switch, other.Switch);
        }

        return Equals(other) ? 0 : NaturalOrder.Instance.Compare(Unit, other.Unit);
    }

    /// <summary>The switch, a slash, the unit.</summary>
    public override string ToString() => Switch + "/" + Unit;

    private static Problem Unreadable(string? text, string wrong) =>
        new(ProblemId.UnitIdUnreadable, $"'{Excerpt.Of(text)}' is not the id of a unit: {wrong}.", "Write switch and unit with a slash between them, such as north-1/2.");
}
