namespace PoeOps.Terminal;

/// <summary>What it takes to log in. Never printed: its text is the user's name alone.</summary>
public sealed class LogInSecrets
{
    /// <summary>Takes the secrets of one switch.</summary>
    /// <param name="user">The user, or null where none was given.</param>
    /// <param name="password">The password, or null where none was given.</param>
    /// <param name="elevationPassword">The secret for elevation, or null where none was given.</param>
    public LogInSecrets(string? user, string? password, string? elevationPassword = null)
    {
        User = user;
        Password = password;
        ElevationPassword = elevationPassword;
    }

    /// <summary>No secrets: for consoles that ask for none.</summary>
    public static LogInSecrets None { get; } = new(null, null);

    /// <summary>The user, or null.</summary>
    public string? User { get; }

    internal string? Password { get; }

    internal string? ElevationPassword { get; }

    /// <summary>Everything that must not stand in a transcript.</summary>
    internal IEnumerable<string> Secrets => new[] { Password, ElevationPassword }.Where(secret => !string.IsNullOrEmpty(secret)).Select(secret => secret!);

    /// <summary>The user's name.</summary>
    public override string ToString() => User ?? "nobody";

    /// <summary>Puts secrets in place of their names.</summary>
    /// <param name="text">An answer of a dialect.</param>
    /// <param name="missing">The name that stands for a secret that was not given, or null.</param>
    internal string Fill(string text, out string? missing)
    {
        missing = null;
        foreach ((string name, string? value) in new[] { ("{User}", User), ("{Password}", Password), ("{ElevationPassword}", ElevationPassword) })
        {
            if (text.Contains(name))
            {
                missing ??= value is null ? name : null;
                text = text.Replace(name, value ?? string.Empty);
            }
        }

        return text;
    }
}
