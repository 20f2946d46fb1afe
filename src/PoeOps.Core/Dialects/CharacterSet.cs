namespace PoeOps.Dialects;

/// <summary>A set of characters: each of ASCII by itself, and all others together; and whether nothing may stand in its place.</summary>
internal sealed record CharacterSet(ulong Low, ulong High, bool Others, bool CanBeEmpty)
{
    /// <summary>Every character, or none.</summary>
    public static readonly CharacterSet Any = new(ulong.MaxValue, ulong.MaxValue, Others: true, CanBeEmpty: true);

    /// <summary>No character: what stands between two.</summary>
    public static readonly CharacterSet Nothing = new(0, 0, Others: false, CanBeEmpty: true);

    /// <summary>A set without a member, to add to.</summary>
    public static readonly CharacterSet None = new(0, 0, Others: false, CanBeEmpty: false);

    /// <summary>True where it excludes no character.</summary>
    public bool IsAll => Low == ulong.MaxValue && High == ulong.MaxValue && Others;

    /// <summary>A set of one.</summary>
    public static CharacterSet Of(char c) => Where(one => one == c) with { Others = c >= 128 };

    /// <summary>The characters of ASCII of which something holds, and all others.</summary>
    public static CharacterSet Where(Func<char, bool> holds)
    {
        ulong low = 0, high = 0;
        for (int c = 0; c < 64; c++)
        {
            low |= holds((char)c) ? 1UL << c : 0;
            high |= holds((char)(c + 64)) ? 1UL << c : 0;
        }

        return new CharacterSet(low, high, Others: true, CanBeEmpty: false);
    }

    /// <summary>True where it has a character of ASCII.</summary>
    public bool Holds(char c) => ((c < 64 ? Low >> c : High >> (c - 64)) & 1) != 0;

    /// <summary>What is in either.</summary>
    public CharacterSet Or(CharacterSet other) => new(Low | other.Low, High | other.High, Others || other.Others, CanBeEmpty || other.CanBeEmpty);

    /// <summary>What a text can begin with that has this first and then the other.</summary>
    public CharacterSet Then(CharacterSet other) => CanBeEmpty ? Or(other) with { CanBeEmpty = other.CanBeEmpty } : this;

    /// <summary>The characters of ASCII that it does not have, and all others.</summary>
    public CharacterSet Not() => new(~Low, ~High, Others: true, CanBeEmpty: false);
}
