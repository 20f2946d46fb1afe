using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>
/// Turns percentages into watts once everything is read: a port may be printed before the budget of its unit. A percentage of nothing that was read is
/// a problem, and its record is left out.
/// </summary>
internal sealed class Percentages
{
    private readonly Dialect _dialect;
    private readonly IList<Problem> _problems;
    private readonly Dictionary<string, ReadRecord> _units;

    private Percentages(Dialect dialect, IReadOnlyList<ReadRecord> records, IList<Problem> problems)
    {
        _dialect = dialect;
        _problems = problems;
        _units = records.Where(record => record.Kind == RecordKind.Controller && !record.Contradicted).ToDictionary(record => record.Unit, StringComparer.OrdinalIgnoreCase);
    }

    /// <summary>Turns all of them, controllers first.</summary>
    public static void ToWatts(Dialect dialect, IReadOnlyList<ReadRecord> records, IList<Problem> problems)
    {
        if (dialect.Values.Values.All(rule => rule.PercentOf is null))
        {
            return;
        }

        var percentages = new Percentages(dialect, records, problems);
        foreach (ReadRecord record in records.Where(record => !record.Contradicted).OrderBy(record => record.Kind))
        {
            percentages.Turn(record);
        }
    }

    private void Turn(ReadRecord record)
    {
        foreach (ReadValue value in record.Values.Where(IsPercentage).OrderBy(value => Depth(value.Property)).ToList())
        {
            if (WholeOf(record, value) is { } whole)
            {
                record.Put(value.Property, Plain(Of(whole, value)));
            }
            else
            {
                record.LeaveOut();
                _problems.Add(OfNothing(record, value));
            }
        }

        foreach ((ReadValue earlier, ReadValue here) in record.Undecided)
        {
            Compare(record, earlier, here);
        }
    }

    // A percentage may be of one, which is turned before.
    private int Depth(string property) => _dialect.Values.TryGetValue(property, out ValueRule? rule) && rule.PercentOf is { } whole ? 1 + Depth(whole) : 0;

    // The amount is the more exact of the two, so that it holds; it must be within one step of the last digit that the percentage has.
    private void Compare(ReadRecord record, ReadValue earlier, ReadValue here)
    {
        (ReadValue percentage, ReadValue amount) = IsPercentage(here) ? (here, earlier) : (earlier, here);
        if (record.Contradicted)
        {
            return;
        }

        if (WholeOf(record, percentage) is not { } whole)
        {
            record.LeaveOut();
            _problems.Add(OfNothing(record, percentage));
            return;
        }

        int places = Number(percentage.Value!).ToString(CultureInfo.InvariantCulture) is var digits && digits.IndexOf('.') is >= 0 and int mark ? digits.Length - mark - 1 : 0;
        decimal step = whole / 100;
        for (int i = 0; i < places; i++)
        {
            step /= 10;
        }

        if (Math.Abs(Of(whole, percentage) - Number(amount.Value!)) > step)
        {
            _problems.Add(record.Disagreeing(earlier, here));
            return;
        }

        record.Put(amount.Property, amount.Value!);
    }

    private decimal? WholeOf(ReadRecord record, ReadValue value)
    {
        string property = _dialect.Values[value.Property].PercentOf!;
        ReadRecord? owner = property == "BudgetWatts" && record.Kind == RecordKind.Port ? (_units.TryGetValue(record.Unit, out ReadRecord? unit) ? unit : null) : record;
        return owner?[property] is { } text ? Number(text) : null;
    }

    private Problem OfNothing(ReadRecord record, ReadValue value)
    {
        string whole = _dialect.Values[value.Property].PercentOf!;
        return new Problem(
            ProblemId.ValueUnreadable, $"{value.Property} of {record.Label} is {value.Value!.TrimEnd('%')} % of {whole}, which was not read.",
            "Read the device again with the command that prints it, or correct 'percentOf' of the dialect.")
        { File = value.Line.Source, Line = value.Line.Number, Text = Excerpt.Of(value.Line.Text), Target = record.Unit };
    }

    private static bool IsPercentage(ReadValue value) => RecordProperties.IsWatts(value.Property) && value.Value is { } text && AmountText.IsPercentage(text);

    private static decimal Of(decimal whole, ReadValue percentage) => whole * Number(percentage.Value!) / 100;

    private static decimal Number(string text) => decimal.Parse(text.TrimEnd('%'), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);

    private static string Plain(decimal watts) => watts.ToString("0.############", CultureInfo.InvariantCulture);
}
