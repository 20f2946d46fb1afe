using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Rehearsal.Worlds;

/// <summary>Reads lists of port numbers such as <c>1-8,12</c>.</summary>
internal static class PortNumbers
{
    /// <summary>The numbers that a key lists; what is no such list, or beyond the ports that there are, is reported.</summary>
    /// <param name="row">The object.</param>
    /// <param name="key">Its key.</param>
    /// <param name="most">The highest number that there is.</param>
    public static IReadOnlyList<int> Read(JsonObjectReader row, string key, int most)
    {
        var numbers = new List<int>();
        string? text = row.Text(key, required: true);
        foreach (string part in text?.Split(',') ?? [])
        {
            string[] ends = part.Trim().Split('-');
            if (ends.Length <= 2 && ReadNumber(ends[0], out int first) && ReadNumber(ends[ends.Length - 1], out int last) && first >= 1 && last >= first && last <= most)
            {
                numbers.AddRange(Enumerable.Range(first, last - first + 1));
            }
            else
            {
                row.Report(ProblemId.JsonBadValue, key, $"Found '{part}' in '{text}' where ports from 1 to {most} were expected.", "Write numbers and ranges with commas between them, such as 1-8,12.");
            }
        }

        return numbers;
    }

    private static bool ReadNumber(string digits, out int number) =>
        int.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out number);
}
