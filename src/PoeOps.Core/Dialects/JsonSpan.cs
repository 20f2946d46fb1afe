namespace PoeOps.Dialects;

/// <summary>Finds where an answer that is JSON ends, by its brackets alone; whether it is JSON is for the library to say.</summary>
internal sealed class JsonSpan
{
    private int _depth;

    /// <summary>True where an answer that is JSON begins on a line.</summary>
    public static bool BeginsOn(CaptureLine line) => line.Text.TrimStart() is ['{' or '[', ..];

    /// <summary>True once the bracket that began it has met its match.</summary>
    public bool IsWhole { get; private set; }

    /// <summary>Goes through the next line. A text never goes on over the end of its line.</summary>
    public void Take(string line)
    {
        bool inText = false;
        for (int i = 0; i < line.Length; i++)
        {
            char c = line[i];
            if (inText)
            {
                i += c == '\\' ? 1 : 0;
                inText = c != '"';
            }
            else if (c == '"')
            {
                inText = true;
            }
            else
            {
                _depth += c is '{' or '[' ? 1 : c is '}' or ']' ? -1 : 0;
            }
        }

        IsWhole = _depth <= 0;
    }
}
