namespace PoeOps.Dialects;

/// <summary>
/// The name of a capture file: the switch, and where the file holds the answer to one command only, a <c>~</c> and what the command was, as in
/// <c>dune-1~read-feeds.txt</c>. The files of one switch are read together.
/// </summary>
public static class CaptureName
{
    /// <summary>What stands between the switch and the command.</summary>
    public const char Mark = '~';

    /// <summary>The switch that a file's name says.</summary>
    /// <param name="path">The path of a capture.</param>
    /// <returns>What stands before the first <c>~</c>, as it can be shown; the whole name without its extension where there is none, or nothing before it.</returns>
    public static string SwitchOf(string path)
    {
        string name = PlainText.Of(Path.GetFileNameWithoutExtension(path));
        int mark = name.IndexOf(Mark);
        return mark > 0 ? name.Substring(0, mark) : name;
    }

    /// <summary>True where a file holds the answer to one command only, by its name.</summary>
    /// <param name="path">The path of a capture.</param>
    public static bool IsOneAnswer(string path) => Path.GetFileNameWithoutExtension(path).IndexOf(Mark) > 0;
}
