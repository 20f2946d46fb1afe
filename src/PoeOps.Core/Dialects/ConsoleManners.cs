using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>How to hold a conversation with a family of devices. Patterns are tried on the last, unfinished line of what came.</summary>
public sealed record ConsoleManners
{
    /// <summary>How a prompt looks when the device waits for a command.</summary>
    public IReadOnlyList<Regex> Prompts { get; init; } = [];

    /// <summary>How the prompt looks after elevation; empty where there is none.</summary>
    public IReadOnlyList<Regex> ElevatedPrompts { get; init; } = [];

    /// <summary>What the device asks at log-in and what to answer: text with <c>{User}</c> or <c>{Password}</c>.</summary>
    public IReadOnlyList<Exchange> LogIn { get; init; } = [];

    /// <summary>What the device prints when it refuses a log-in.</summary>
    public IReadOnlyList<Regex> LogInRefused { get; init; } = [];

    /// <summary>What the device, or a console server before it, prints when it has no session free: before the log-in, in place of it or behind it.</summary>
    public IReadOnlyList<Regex> SessionsFull { get; init; } = [];

    /// <summary>The command that elevates; null where none is needed.</summary>
    public string? Elevate { get; init; }

    /// <summary>What the device asks on elevation and what to answer: text with <c>{ElevationPassword}</c>.</summary>
    public IReadOnlyList<Exchange> ElevateDialogue { get; init; } = [];

    /// <summary>Places where the device stops a long answer, and what to send to go on.</summary>
    public IReadOnlyList<Exchange> Pagers { get; init; } = [];

    /// <summary>Commands that make the console quiet, sent after log-in.</summary>
    public IReadOnlyList<string> Quiet { get; init; } = [];

    /// <summary>What the device prints when it does not know or refuses a command; tried on each line of an answer.</summary>
    public IReadOnlyList<Regex> Refused { get; init; } = [];

    /// <summary>What a line begins with that is the rest of the line before it; it is taken off.</summary>
    public IReadOnlyList<Regex> Continued { get; init; } = [];

    /// <summary>Lines that say how wide the screen is, by a group Width; one without it says that lines are not broken.</summary>
    public IReadOnlyList<Regex> Width { get; init; } = [];

    /// <summary>Commands that change something; looked for in a command that a user wants sent, without regard to case.</summary>
    public IReadOnlyList<Regex> Changing { get; init; } = [];

    /// <summary>What to send to leave; null to close the connection without a word.</summary>
    public string? GoodBye { get; init; }

    /// <summary>What ends a line that is sent.</summary>
    public string LineEnd { get; init; } = "\r";

    /// <summary>True where a carriage return alone ends a line that comes; else it goes back to the line's start, and a line feed ends the line.</summary>
    public bool ReturnEndsLine { get; init; }

    /// <summary>Sent when nothing comes after connecting, so that a console server wakes; null to wait in silence.</summary>
    public string? Wake { get; init; }

    /// <summary>Sent when nothing was asked for a while, so that the session stays open; null where it need not be. Never sent while a refresh prints its progress.</summary>
    public string? KeepAlive { get; init; }

    /// <summary>How long a session may be idle before <see cref="KeepAlive"/> is sent, seconds.</summary>
    public double KeepAliveSeconds { get; init; } = 60;
}

/// <summary>Something the device prints, and the answer to it.</summary>
/// <param name="Expect">Tried on the last, unfinished line of what came.</param>
/// <param name="Send">What to answer; <c>{User}</c>, <c>{Password}</c> and <c>{ElevationPassword}</c> stand for secrets.</param>
/// <param name="AddLineEnd">False to send a single key, as pagers want.</param>
public sealed record Exchange(Regex Expect, string Send, bool AddLineEnd);
