using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>One command for a need.</summary>
/// <param name="Send">The text to send, with <c>{Unit}</c> where it is for one unit, and <c>{Port}</c> where it is for one port; empty where there are variants.</param>
/// <param name="Each">Whether to send it once, or once for each unit or port that was read before.</param>
public sealed record Ask(string Send, AskEach Each)
{
    /// <summary>Commands of which the first that fits is sent; empty where <see cref="Send"/> is the command.</summary>
    public IReadOnlyList<AskVariant> Variants { get; init; } = [];

    /// <summary>Every text that may be sent.</summary>
    public IEnumerable<string> Texts => Variants.Count == 0 ? [Send] : Variants.Select(variant => variant.Send);
}

/// <summary>A command for some releases or models.</summary>
/// <param name="Send">The text to send.</param>
/// <param name="Release">Looked for in the release as it was printed; null for any, also one that is not known.</param>
/// <param name="Model">Looked for in the hardware model of the unit; of a command for the whole switch, in that of any of its units; null for any.</param>
public sealed record AskVariant(string Send, Regex? Release, Regex? Model);

/// <summary>How often a command is sent.</summary>
public enum AskEach
{
    /// <summary>Once for the switch.</summary>
    Switch,
    /// <summary>Once for each unit.</summary>
    Unit,
    /// <summary>Once for each port.</summary>
    Port,
}

/// <summary>What came back on a command.</summary>
/// <param name="Command">The command as it was sent.</param>
/// <param name="Text">The answer.</param>
public sealed record DeviceAnswer(string Command, string Text)
{
    /// <summary>The prompt behind which it was sent, as a saved text has it; empty where nobody knows.</summary>
    public string Prompt { get; init; } = string.Empty;

    /// <summary>The unit that was asked about; empty for none.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The port of that unit that was asked about; empty for none.</summary>
    public string Port { get; init; } = string.Empty;
}
