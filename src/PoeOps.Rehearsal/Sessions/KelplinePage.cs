namespace PoeOps.Rehearsal.Sessions;

/// <summary>What a kelpline prints on beside its answers, and what may come in between.</summary>
/// <param name="Channel">The line to the other side.</param>
/// <param name="LogLine">A log line that may come at any time.</param>
/// <param name="LoseLink">Called where the connection may be lost once a refit has begun.</param>
internal sealed record KelplinePage(LineChannel Channel, string LogLine, Action LoseLink)
{
    private const string More = "[ more to tell: space goes on, q stops ]";

    /// <summary>Stops at the pager until a key is pressed.</summary>
    /// <returns>False for the key that ends the answer.</returns>
    public bool GoOn()
    {
        Channel.Write(More);
        char key = Channel.ReadKey();
        Channel.Write("\r" + new string(' ', More.Length) + "\r");
        return key != 'q';
    }

    /// <summary>Prints a text with a log line in its middle, on a line of its own.</summary>
    public void WriteTorn(string text) =>
        Channel.Write($"{text.Substring(0, text.Length / 2)}\r\n{LogLine}\r\n{text.Substring(text.Length / 2)}");
}
