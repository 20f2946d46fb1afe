using System.Globalization;

namespace PoeOps.Files;

/// <summary>Takes numbers out of a JSON text only within their bounds.</summary>
internal static class JsonBounds
{
    /// <summary>The number of an item within its bounds, or null; outside them it is reported.</summary>
    public static decimal? Number(JsonItem? item, decimal? least, decimal? most) => Within(item, "a number", least, most);

    /// <summary>The whole number of an item within its bounds, or null; with a fraction or outside the bounds it is reported.</summary>
    public static decimal? Whole(JsonItem? item, decimal least, decimal most)
    {
        if (item?.Number is { } number && number != decimal.Truncate(number))
        {
            item.Report(ProblemId.JsonBadValue, $"Found {item.InWords()} where a whole number was expected.", "Write it without a fraction.");
            return null;
        }

        return Within(item, "a whole number", least, most);
    }

    private static decimal? Within(JsonItem? item, string what, decimal? least, decimal? most)
    {
        if (item?.Number is not { } number || ((least is null || number >= least) && (most is null || number <= most)))
        {
            return item?.Number;
        }

        string bounds = (least, most) switch
        {
            ({ } low, null) => $"{Say(low)} or more",
            (null, { } high) => $"{Say(high)} or less",
            _ => $"{Say(least!.Value)} to {Say(most!.Value)}",
        };
        item.Report(ProblemId.JsonBadValue, $"Found {item.InWords()} where {what} of {bounds} was expected.", "Write a number within these bounds.");
        return null;
    }

    private static string Say(decimal number) => number.ToString(CultureInfo.InvariantCulture);
}
