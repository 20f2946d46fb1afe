namespace System;

/// <summary>A place in something that is indexed, from its start or from its end: what <c>[^1]</c> means; netstandard2.0 has none.</summary>
internal readonly struct Index(int value, bool fromEnd = false)
{
    public int Value { get; } = value;

    public bool IsFromEnd { get; } = fromEnd;

    public int GetOffset(int length) => IsFromEnd ? length - Value : Value;

    public static implicit operator Index(int value) => new(value);
}
