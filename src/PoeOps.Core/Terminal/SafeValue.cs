using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>Keeps values that go to a device to a strict alphabet: nothing from a file can smuggle a second command.</summary>
internal static class SafeValue
{
    /// <summary>Puts values in place of their names in a command.</summary>
    /// <param name="command">The command of a dialect.</param>
    /// <param name="values">Names in braces, and their values.</param>
    /// <exception cref="PoeOpsException">A value has a character outside letters, digits and <c>. _ : / -</c>, is empty, longer than 200, or begins with a hyphen (<see cref="ProblemId.ValueNotSafe"/>).</exception>
    public static string Fill(string command, params (string Name, string Value)[] values)
    {
        foreach ((string name, string value) in values)
        {
            if (command.Contains(name))
            {
                command = command.Replace(name, Check(name, value));
            }
        }

        return command;
    }

    private static string Check(string name, string value)
    {
        bool safe = value.Length is > 0 and <= 200 && value[0] != '-' && value.All(c => c is (>= 'A' and <= 'Z') or (>= 'a' and <= 'z') or (>= '0' and <= '9') or '.' or '_' or ':' or '/' or '-');
        return safe ? value : throw new PoeOpsException(new Problem(
            ProblemId.ValueNotSafe, $"The value '{Excerpt.Of(value)}' for {name} is not sent to a device.",
            "Use letters, digits and . _ : / - only, not beginning with a hyphen."));
    }
}
