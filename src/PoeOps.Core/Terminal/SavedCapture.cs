namespace PoeOps.Terminal;

/// <summary>The answer to one command, saved.</summary>
public sealed record SavedCapture
{
    /// <summary>The switch.</summary>
    public string Switch { get; init; } = string.Empty;

    /// <summary>The command that was sent.</summary>
    public string Command { get; init; } = string.Empty;

    /// <summary>The file that holds what a reader would see, with the prompt and the command in its first line; UTF-8.</summary>
    public string Path { get; init; } = string.Empty;

    /// <summary>The file that holds the bytes as they came, but for secrets; of Telnet without its own commands.</summary>
    public string RawPath { get; init; } = string.Empty;

    /// <summary>How many lines <see cref="Path"/> has.</summary>
    public int Lines { get; init; }

    /// <summary>How many bytes <see cref="RawPath"/> has.</summary>
    public int Bytes { get; init; }
}
