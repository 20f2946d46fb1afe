namespace PoeOps.Estate;

/// <summary>A part of every day in which a minute out of service counts otherwise than by its role alone.</summary>
/// <param name="From">The local time of day at which it begins, such as <c>06:00</c>.</param>
/// <param name="Until">The local time of day at which it is over, which does not belong to it; one before or at its beginning is on the next day.</param>
/// <param name="Weight">How often the minute counts; 0 or more.</param>
public sealed record BusyHours(string From, string Until, double Weight);
