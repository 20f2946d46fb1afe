using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>What it takes to log in. Never printed: its text is the user's name alone.</summary>
public sealed class LogInSecrets
{
    private static readonly Regex Names = new(@"\{(User|Password|ElevationPassword)\}", RegexOptions.CultureInvariant, OwnPattern.Longest);

    /// <summary>Takes the secrets of one switch.</summary>
    /// <param name="user">The user, or null where none was given.</param>
    /// <param name="password">The password, or null where none was given.</param>
    /// <param name="elevationPassword">The secret for elevation, or null where none was given.</param>
    /// <param name="passphrase">The secret of a key file, or null. It is struck out like the others, and no answer of a dialect can send it.</param>
    public LogInSecrets(string? user, string? password, string? elevationPassword = null, string? passphrase = null)
    {
        User = user;
        Password = password;
        ElevationPassword = elevationPassword;
        Passphrase = passphrase;
    }

    /// <summary>No secrets: for consoles that ask for none.</summary>
    public static LogInSecrets None { get; } = new(null, null);

    /// <summary>The user, or null.</summary>
    public string? User { get; }

    internal string? Password { get; }

    internal string? ElevationPassword { get; }

    internal string? Passphrase { get; }

    /// <summary>Everything that must not stand in a transcript.</summary>
    internal IEnumerable<string> Secrets => new[] { Password, ElevationPassword, Passphrase }.Where(secret => !string.IsNullOrEmpty(secret)).Select(secret => secret!);

    /// <summary>The user's name.</summary>
    public override string ToString() => User ?? "nobody";

    /// <summary>Strikes secrets out of a text that goes into a sentence.</summary>
    internal string Strike(string text) => Secrets.OrderByDescending(secret => secret.Length).Aggregate(text, (struck, secret) => struck.Replace(secret, "[secret]"));

    /// <summary>Puts secrets in place of their names.</summary>
    /// <param name="text">An answer of a dialect.</param>
    /// <param name="missing">The name that stands for a secret that was not given, or null.</param>
    /// <exception cref="PoeOpsException">A secret holds a control character, which could end the line and begin a command (<see cref="ProblemId.ValueNotSafe"/>).</exception>
    internal string Fill(string text, out string? missing)
    {
        string? none = null;
        string filled = Names.Replace(text, match =>
        {
            string? value = match.Groups[1].Value switch { "User" => User, "Password" => Password, _ => ElevationPassword };
            none ??= value is null ? match.Groups[1].Value : null;
            return value is null || !value.Any(char.IsControl) ? value ?? string.Empty : throw new PoeOpsException(new Problem(
                ProblemId.ValueNotSafe, $"What was given for {match.Value} holds a control character and is not sent to a device.", "Give a credential without line ends and other control characters."));
        });
        missing = none;
        return filled;
    }
}
