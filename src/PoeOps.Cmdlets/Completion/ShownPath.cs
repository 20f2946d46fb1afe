using System.Globalization;
using System.Management.Automation;
using System.Management.Automation.Language;
using System.Text;

namespace PoeOps.Cmdlets.Completion;

/// <summary>
/// What a text in double quotes says, such as "$pwd/harbour.estate.json", while it is still being written. Variables and constant text are looked at, and nothing
/// else: no command is run, no member is asked, and a value that would have to be turned into text by code is none.
/// </summary>
internal static class ShownPath
{
    /// <summary>The text; null where it holds anything but variables and constant text, or a variable with no plain value.</summary>
    /// <param name="text">The text as it stands on the line.</param>
    /// <param name="session">Where the variables are.</param>
    public static string? Of(ExpandableStringExpressionAst text, SessionState session)
    {
        if (text.StringConstantType != StringConstantType.DoubleQuoted || text.NestedExpressions.Any(inner => inner is not VariableExpressionAst))
        {
            return null;
        }

        StringBuilder whole = new();
        int at = text.Extent.StartOffset + 1;
        foreach (VariableExpressionAst variable in text.NestedExpressions.Cast<VariableExpressionAst>().OrderBy(one => one.Extent.StartOffset))
        {
            if (Constant(text, at, variable.Extent.StartOffset) is not { } before || ValueOf(variable, session) is not { Length: > 0 } value)
            {
                return null;
            }

            whole.Append(before).Append(value);
            at = variable.Extent.EndOffset;
        }

        return Constant(text, at, text.Extent.EndOffset - 1) is { } rest ? whole.Append(rest).ToString() : null;
    }

    // What a backtick makes of the next character is nothing that a path needs.
    private static string? Constant(ExpandableStringExpressionAst text, int from, int until)
    {
        string part = text.Extent.Text.Substring(from - text.Extent.StartOffset, until - from);
        return part.IndexOf('`') >= 0 ? null : part.Replace("\"\"", "\"");
    }

    private static string? ValueOf(VariableExpressionAst variable, SessionState session)
    {
        VariablePath path = variable.VariablePath;
        bool isPlain = path.IsUnqualified || path.IsGlobal || path.IsLocal || path.IsScript || string.Equals(path.DriveName, "env", StringComparison.OrdinalIgnoreCase);
        if (variable.Splatted || !isPlain)
        {
            return null;
        }

        // In a script that is being written, this is the folder of that script, whatever was run last.
        if (string.Equals(path.UserPath, "PSScriptRoot", StringComparison.OrdinalIgnoreCase) && variable.Extent.File is { Length: > 0 } script)
        {
            return Path.GetDirectoryName(script);
        }

        object? value = session.PSVariable.GetValue(path.UserPath);
        return (value is PSObject wrapped ? wrapped.BaseObject : value) switch
        {
            string word => word,
            PathInfo place => place.Path,
            FileSystemInfo file => file.FullName,
            int number => number.ToString(CultureInfo.InvariantCulture),
            _ => null,
        };
    }
}
