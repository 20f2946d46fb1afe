namespace System;

/// <summary>From one place up to before another: what <c>[1..^1]</c> means; netstandard2.0 has none.</summary>
internal readonly struct Range(Index start, Index end)
{
    public Index Start { get; } = start;

    public Index End { get; } = end;
}
