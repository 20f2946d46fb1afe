using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace PoeOps.Snmp;

/// <summary>
/// An OBJECT IDENTIFIER (RFC 2578 section 3.5): at most 128 numbers of 32 bits each. Ordered as a walk goes: number by number, and a name before those that
/// go on from it. Never changes.
/// </summary>
public sealed class Oid : IEquatable<Oid>, IComparable<Oid>
{
    /// <summary>The most numbers that an identifier has (RFC 2578 section 3.5).</summary>
    public const int MostArcs = 128;

    // Another hash in every process, so that no agent can choose names that all fall into one place of a table.
    private static readonly ulong[] HashKeys = NewHashKeys();

    private readonly uint[] _arcs;

    private Oid(uint[] arcs) => _arcs = arcs;

    /// <summary>The identifier without any number, which sloppy agents send for none.</summary>
    public static Oid Empty { get; } = new([]);

    /// <summary>How many numbers it has.</summary>
    public int Length => _arcs.Length;

    /// <summary>The number at a place, the first at 0.</summary>
    public uint this[int place] => _arcs[place];

    /// <summary>True when both are the same numbers.</summary>
    public static bool operator ==(Oid? left, Oid? right) => left is null ? right is null : left.Equals(right);

    /// <summary>True when they differ.</summary>
    public static bool operator !=(Oid? left, Oid? right) => !(left == right);

    /// <summary>True when a walk meets the first before the second.</summary>
    public static bool operator <(Oid left, Oid right) => left.CompareTo(right) < 0;

    /// <summary>True when a walk meets the first after the second.</summary>
    public static bool operator >(Oid left, Oid right) => left.CompareTo(right) > 0;

    /// <summary>True when a walk does not meet the first after the second.</summary>
    public static bool operator <=(Oid left, Oid right) => left.CompareTo(right) <= 0;

    /// <summary>True when a walk does not meet the first before the second.</summary>
    public static bool operator >=(Oid left, Oid right) => left.CompareTo(right) >= 0;

    /// <summary>An identifier of these numbers.</summary>
    /// <exception cref="ArgumentOutOfRangeException">There are more than <see cref="MostArcs"/>.</exception>
    public static Oid Of(params uint[] arcs) =>
        arcs.Length <= MostArcs ? new((uint[])arcs.Clone()) : throw new ArgumentOutOfRangeException(nameof(arcs), "An identifier has at most 128 numbers.");

    /// <summary>Reads numbers with full stops between, with one in front or not; <c>iso</c> may stand for the first 1, as some programs print it.</summary>
    /// <exception cref="FormatException">It is none.</exception>
    public static Oid Parse(string text) => TryParse(text, out Oid oid) ? oid : throw new FormatException("An object identifier is numbers with full stops between, such as 1.3.6.1.2.1.105.");

    /// <summary>The same without throwing.</summary>
    /// <param name="text">What to read.</param>
    /// <param name="oid">The identifier, or <see cref="Empty"/> where it is none.</param>
    /// <returns>True when it was read.</returns>
    public static bool TryParse(string text, out Oid oid)
    {
        oid = Empty;
        string[] parts = text.TrimStart().StartsWith(".", StringComparison.Ordinal) ? text.Trim().Substring(1).Split('.') : text.Trim().Split('.');
        if (parts.Length > MostArcs)
        {
            return false;
        }

        uint[] arcs = new uint[parts.Length];
        for (int i = 0; i < parts.Length; i++)
        {
            string part = i == 0 && parts[0] == "iso" ? "1" : parts[i];
            if (!uint.TryParse(part, NumberStyles.None, CultureInfo.InvariantCulture, out arcs[i]))
            {
                return false;
            }
        }

        oid = new Oid(arcs);
        return true;
    }

    /// <summary>The identifier with more numbers behind.</summary>
    /// <exception cref="ArgumentOutOfRangeException">There would be more than <see cref="MostArcs"/>.</exception>
    public Oid Then(params uint[] more)
    {
        if (_arcs.Length + more.Length > MostArcs)
        {
            throw new ArgumentOutOfRangeException(nameof(more), "An identifier has at most 128 numbers.");
        }

        uint[] arcs = new uint[_arcs.Length + more.Length];
        _arcs.CopyTo(arcs, 0);
        more.CopyTo(arcs, _arcs.Length);
        return new Oid(arcs);
    }

    /// <summary>The identifier without its last number.</summary>
    public Oid Parent()
    {
        uint[] arcs = new uint[Math.Max(0, _arcs.Length - 1)];
        Array.Copy(_arcs, arcs, arcs.Length);
        return new Oid(arcs);
    }

    /// <summary>True when it begins with all numbers of another, or is the same.</summary>
    public bool IsWithin(Oid root)
    {
        if (_arcs.Length < root._arcs.Length)
        {
            return false;
        }

        for (int i = root._arcs.Length - 1; i >= 0; i--)
        {
            if (_arcs[i] != root._arcs[i])
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>The numbers behind the first so many: the index of a row, behind its column.</summary>
    public uint[] After(int count)
    {
        uint[] rest = new uint[Math.Max(0, _arcs.Length - count)];
        Array.Copy(_arcs, _arcs.Length - rest.Length, rest, 0, rest.Length);
        return rest;
    }

    /// <inheritdoc/>
    public int CompareTo(Oid? other)
    {
        if (other is null)
        {
            return 1;
        }

        int common = Math.Min(_arcs.Length, other._arcs.Length);
        for (int i = 0; i < common; i++)
        {
            if (_arcs[i] != other._arcs[i])
            {
                return _arcs[i] < other._arcs[i] ? -1 : 1;
            }
        }

        return _arcs.Length.CompareTo(other._arcs.Length);
    }

    /// <inheritdoc/>
    public bool Equals(Oid? other) => other is not null && _arcs.Length == other._arcs.Length && IsWithin(other);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as Oid);

    /// <inheritdoc/>
    public override int GetHashCode()
    {
        ulong hash = HashKeys[MostArcs];
        for (int i = 0; i < _arcs.Length; i++)
        {
            hash = unchecked(hash + ((_arcs[i] + 1UL) * HashKeys[i]));
        }

        return (int)(hash >> 32);
    }

    private static ulong[] NewHashKeys()
    {
        byte[] octets = new byte[(MostArcs + 1) * sizeof(ulong)];
        using var chance = RandomNumberGenerator.Create();
        chance.GetBytes(octets);
        return [.. Enumerable.Range(0, MostArcs + 1).Select(i => BitConverter.ToUInt64(octets, i * sizeof(ulong)))];
    }

    /// <summary>The numbers with full stops between.</summary>
    public override string ToString()
    {
        var text = new StringBuilder();
        foreach (uint arc in _arcs)
        {
            text.Append(text.Length == 0 ? string.Empty : ".").Append(arc.ToString(CultureInfo.InvariantCulture));
        }

        return text.ToString();
    }
}
