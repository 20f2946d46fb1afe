namespace PoeOps.Estate;

/// <summary>What a local time means that comes twice when clocks go back. One that never comes always moves forward by the gap (RFC 5545 section 3.3.5).</summary>
public enum LocalTimeChoice
{
    /// <summary>The first of the two, as RFC 5545 reads it; the default.</summary>
    First,
    /// <summary>The second of the two.</summary>
    Second,
}
