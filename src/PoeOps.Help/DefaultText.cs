using System.Collections;
using System.Globalization;
using System.Management.Automation;
using System.Reflection;

namespace PoeOps.Help;

/// <summary>What a parameter holds before anything is given, in words that can be typed.</summary>
internal static class DefaultText
{
    /// <summary>The default value; null where it is nothing, empty, or left to PowerShell.</summary>
    /// <param name="cmdlet">A cmdlet to which nothing was given.</param>
    /// <param name="parameter">The parameter.</param>
    public static string? Of(object cmdlet, PropertyInfo parameter) =>
        parameter.PropertyType == typeof(SwitchParameter) ? "False" : Say(parameter.GetValue(cmdlet));

    private static string? Say(object? value) => value switch
    {
        null or "" => null,
        string text => text,
        TimeSpan time => time.ToString("c", CultureInfo.InvariantCulture),
        IEnumerable items => string.Join(", ", items.Cast<object>().Select(Say)) is { Length: > 0 } list ? list : null,
        _ => Convert.ToString(value, CultureInfo.InvariantCulture),
    };
}
