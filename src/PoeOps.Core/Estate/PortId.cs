using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Names one PSE port of a unit. Prints as <c>switch/unit/port</c>, such as <c>north-1/2/17</c>.</summary>
public readonly struct PortId : IEquatable<PortId>, IComparable<PortId>
{
    private readonly string? _port;

    /// <summary>Names a port of a unit.</summary>
    /// <param name="unitId">The unit that the port belongs to.</param>
    /// <param name="port">The port, as the device names it within the unit; it may have slashes.</param>
    /// <exception cref="PoeOpsException">The name is empty, too long or has a control character, or the unit id is an empty one (<see cref="ProblemId.PortIdUnreadable"/>).</exception>
    public PortId(UnitId unitId, string port)
    {
        string? wrong = unitId == default ? "it names no unit" : NameParts.Check(port ?? string.Empty, slashAllowed: true);
        if (wrong is not null)
        {
            throw new PoeOpsException(Unreadable($"{unitId}/{port}", wrong));
        }

        UnitId = unitId;
        _port = port;
    }

    /// <summary>The unit that the port belongs to.</summary>
    public UnitId UnitId { get; }

    /// <summary>The port, as the device names it within the unit.</summary>
    public string Port => _port ?? string.Empty;

    /// <summary>Reads <c>switch/unit/port</c>; slashes beyond the second belong to the port's name.</summary>
    /// <exception cref="PoeOpsException">The text is no port id (<see cref="ProblemId.PortIdUnreadable"/>); says why.</exception>
    public static PortId Parse(string text)
    {
        string? wrong = NameParts.Split(text, 3, out string[] parts);
        return wrong is null
            ? new PortId(new UnitId(parts[0], parts[1]), parts[2])
            : throw new PoeOpsException(Unreadable(text, wrong));
    }

    /// <summary>True when both name the same port; case does not matter.</summary>
    public static bool operator ==(PortId left, PortId right) => left.Equals(right);

    /// <summary>True when they name different ports.</summary>
    public static bool operator !=(PortId left, PortId right) => !left.Equals(right);

    /// <summary>True when the first comes before the second in natural order.</summary>
    public static bool operator <(PortId left, PortId right) => left.CompareTo(right) < 0;

    /// <summary>True when the first comes after the second in natural order.</summary>
    public static bool operator >(PortId left, PortId right) => left.CompareTo(right) > 0;

    /// <summary>True when the first does not come after the second.</summary>
    public static bool operator <=(PortId left, PortId right) => left.CompareTo(right) <= 0;

    /// <summary>True when the first does not come before the second.</summary>
    public static bool operator >=(PortId left, PortId right) => left.CompareTo(right) >= 0;

    /// <inheritdoc/>
    public bool Equals(PortId other) => UnitId.Equals(other.UnitId) && string.Equals(Port, other.Port, StringComparison.OrdinalIgnoreCase);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => obj is PortId other && Equals(other);

    /// <inheritdoc/>
    public override int GetHashCode() => StringComparer.OrdinalIgnoreCase.GetHashCode(ToString());

    /// <inheritdoc/>
    public int CompareTo(PortId other)
    {
        if (Equals(other))
        {
            return 0;
        }

        int order = UnitId.CompareTo(other.UnitId);
        return order != 0 ? order : NaturalOrder.Instance.Compare(Port, other.Port);
    }

    /// <summary>The switch, the unit and the port with slashes between them.</summary>
    public override string ToString() => UnitId + "/" + Port;

    private static Problem Unreadable(string? text, string wrong) =>
        new(ProblemId.PortIdUnreadable, $"'{Excerpt.Of(text)}' is not the id of a port: {wrong}.", "Write switch, unit and port with slashes between them, such as north-1/2/17.");
}
