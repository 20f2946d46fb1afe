namespace PoeOps.Estate;

/// <summary>What a switch, unit or port may be called, so that ids can be joined with slashes and taken apart again.</summary>
internal static class NameParts
{
    private const int Longest = 200;

    /// <summary>Splits an id into its names.</summary>
    /// <param name="text">The id, such as <c>north-1/2/17</c>.</param>
    /// <param name="count">How many names it must have; what stands beyond the last slash that is needed belongs to the last name.</param>
    /// <param name="parts">The names, or an empty list.</param>
    /// <returns>Why it is no such id, or null.</returns>
    public static string? Split(string? text, int count, out string[] parts)
    {
        parts = (text ?? string.Empty).Trim().Split(new[] { '/' }, count);
        string? wrong = parts.Length == count ? null : $"it has {parts.Length} of the {count} names";
        for (int i = 0; i < parts.Length; i++)
        {
            // Of the three names of a port, the last is the port's own.
            wrong ??= Check(parts[i], slashAllowed: i == 2);
        }

        if (wrong is not null)
        {
            parts = [];
        }

        return wrong;
    }

    /// <summary>Says why a text cannot be a name, or null where it can.</summary>
    /// <param name="name">The text.</param>
    /// <param name="slashAllowed">True for a port, whose own name may have slashes.</param>
    public static string? Check(string name, bool slashAllowed)
    {
        if (name.Length == 0 || name != name.Trim())
        {
            return "a name is empty or has space around it";
        }

        if (name.Length > Longest)
        {
            return $"a name has {name.Length} characters and may have {Longest}";
        }

        return name.IndexOf('/') >= 0 && !slashAllowed ? "a name has a slash in it"
            : name.Any(char.IsControl) ? "a name has a control character in it"
            : PlainText.IsPlain(name) ? null : "a name has a hidden character in it";
    }
}
