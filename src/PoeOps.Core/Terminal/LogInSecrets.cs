using System.Text;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>What it takes to log in. Never printed: its text is the user's name alone.</summary>
public sealed class LogInSecrets
{
    private static readonly Regex Names = new(@"\{(User|Password|ElevationPassword)\}", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private readonly Lazy<SecretFinder> _always;
    private readonly Lazy<SecretFinder> _inLogIn;

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
        _always = new Lazy<SecretFinder>(() => new SecretFinder(Secrets, SecretForms.InText, isLogIn: false));
        _inLogIn = new Lazy<SecretFinder>(() => new SecretFinder(Secrets, SecretForms.InText, isLogIn: true));
    }

    /// <summary>No secrets: for consoles that ask for none.</summary>
    public static LogInSecrets None { get; } = new(null, null);

    /// <summary>The user, or null.</summary>
    public string? User { get; }

    internal string? Password { get; }

    internal string? ElevationPassword { get; }

    internal string? Passphrase { get; }

    /// <summary>Everything that must stand in nothing that is shown or kept.</summary>
    internal IEnumerable<string> Secrets => new[] { Password, ElevationPassword, Passphrase }.Where(secret => !string.IsNullOrEmpty(secret)).Select(secret => secret!);

    /// <summary>The user's name.</summary>
    public override string ToString() => User ?? "nobody";

    /// <summary>Strikes secrets out of a text that is shown or kept.</summary>
    internal string Strike(string text) => _always.Value.Strike(text);

    /// <summary>The same for what is shown of a log-in: there short secrets and parts of an echo are struck as well.</summary>
    internal string StrikeInLogIn(string text) => text.Trim().Length > 0 && _inLogIn.Value.IsPart(text) ? SecretFinder.Struck : _inLogIn.Value.Strike(text);

    /// <summary>Finds the secrets in bytes that are looked through as ISO 8859-1.</summary>
    internal SecretFinder FinderInBytes(bool isLogIn, params Encoding[] encodings) => new(Secrets, secret => SecretForms.InBytes(secret, encodings), isLogIn);

    /// <summary>Strikes secrets out of all that a problem says.</summary>
    internal Problem Strike(Problem problem) => problem with
    {
        Sentence = Strike(problem.Sentence),
        Text = problem.Text is { } text ? Strike(text) : null,
        Target = problem.Target is { } target ? Strike(target) : null,
    };

    /// <summary>Does work, and strikes secrets out of what it ends with where it fails.</summary>
    /// <exception cref="PoeOpsException">The work failed. What brought it about is left out: nobody knows what it holds.</exception>
    internal T Guarded<T>(Func<T> work)
    {
        Problem problem;
        try
        {
            return work();
        }
        catch (PoeOpsException exception)
        {
            problem = exception.Problem;
        }

        throw new PoeOpsException(Strike(problem));
    }

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
