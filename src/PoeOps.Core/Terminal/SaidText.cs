using System.Text;

namespace PoeOps.Terminal;

/// <summary>
/// What a device said, without the secrets: each piece as far as it is known to be none. From when a secret is sent until the log-in is over, a line that
/// is nothing but a part of a secret is struck as well: the device may say something else in the middle of an echo.
/// </summary>
internal sealed class SaidText
{
    private static readonly char[] LineEnds = ['\r', '\n'];

    private readonly SecretFinder _always;
    private readonly SecretFinder _inLogIn;
    private readonly StringBuilder _line = new();
    private string _held = string.Empty;
    private string _before = string.Empty;
    private bool _isLogIn;
    private bool _lineBegins;

    /// <summary>Begins with nothing said.</summary>
    /// <param name="always">Finds the secrets at any time.</param>
    /// <param name="inLogIn">Finds them while logging in.</param>
    public SaidText(SecretFinder always, SecretFinder inLogIn)
    {
        _always = always;
        _inLogIn = inLogIn;
    }

    /// <summary>Takes the next piece.</summary>
    /// <returns>What is known to hold no secret, of this piece and those before.</returns>
    public string Take(string piece) => Lines((_isLogIn ? _inLogIn : _always).Strike(_held + piece, ref _before, isLast: false, out _held));

    /// <summary>Gives what was held back; nothing comes behind it.</summary>
    public string End()
    {
        string last = Lines((_isLogIn ? _inLogIn : _always).Strike(_held, ref _before, isLast: true, out _held));
        return last + Line();
    }

    /// <summary>A secret was sent, and may be echoed from here on.</summary>
    public void SecretSent()
    {
        _isLogIn = true;
        _lineBegins = true;
    }

    /// <summary>The log-in is over.</summary>
    /// <returns>What was held back until now.</returns>
    public string LoggedIn()
    {
        string held = Line();
        _isLogIn = false;
        return held;
    }

    private string Lines(string text)
    {
        if (!_isLogIn)
        {
            return text;
        }

        var shown = new StringBuilder();
        for (int at = 0; at < text.Length;)
        {
            int end = text.IndexOfAny(LineEnds, at);
            _line.Append(text, at, (end < 0 ? text.Length : end) - at);
            if (end >= 0 || !_lineBegins || !IsPart())
            {
                shown.Append(Line());
                _lineBegins = false;
            }

            if (end >= 0)
            {
                shown.Append(text[end]);
                _lineBegins = true;
            }

            at = end < 0 ? text.Length : end + 1;
        }

        return shown.ToString();
    }

    private string Line()
    {
        string line = _lineBegins && _line.Length > 0 && IsPart() && !string.IsNullOrWhiteSpace(_line.ToString()) ? SecretFinder.Struck : _line.ToString();
        _line.Clear();
        return line;
    }

    private bool IsPart() => _inLogIn.IsPart(_line.ToString());
}
