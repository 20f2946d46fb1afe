using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Snmp;

/// <summary>Reads cells of tables, and gathers what is wrong with them, each with the unit that it is about.</summary>
internal sealed class SnmpFindings
{
    private const int Most = 200;

    private readonly List<Problem> _problems = [];
    private readonly string _switch;
    private readonly SnmpRows _rows;
    private int _more;

    /// <summary>Reads the objects of a switch.</summary>
    public SnmpFindings(string switchName, SnmpRows rows) => (_switch, _rows) = (switchName, rows);

    /// <summary>The objects.</summary>
    public SnmpRows Rows => _rows;

    /// <summary>What is wrong, in the order in which it was found, up to a bound; then how much more.</summary>
    public IReadOnlyList<Problem> Problems => _more == 0
        ? _problems
        : [.. _problems, new Problem(ProblemId.ValueUnreadable, $"{Say(_more)} more values cannot be read.", "Look at the values that are named before.") { Target = _switch }];

    /// <summary>How many problems are about a unit, or about the switch as a whole.</summary>
    public int Count(string unit) => _problems.Count(problem => problem.Target == _switch || problem.Target == Target(unit)) + (_more > 0 ? 1 : 0);

    /// <summary>Adds a problem.</summary>
    /// <param name="id">Its id.</param>
    /// <param name="unit">The unit, or null for the whole switch.</param>
    /// <param name="sentence">What is wrong.</param>
    /// <param name="advice">What to do about it.</param>
    public void Add(ProblemId id, string? unit, string sentence, string advice)
    {
        if (_problems.Count >= Most)
        {
            _more++;
            return;
        }

        _problems.Add(new Problem(id, sentence, advice) { Target = unit is null ? _switch : Target(unit) });
    }

    /// <summary>Adds the problem that a part of the core threw.</summary>
    public void Add(string? unit, Problem problem) => Add(problem.Id, unit, problem.Sentence, problem.Advice);

    /// <summary>The number of an object.</summary>
    /// <param name="name">The object.</param>
    /// <param name="what">What it is called.</param>
    /// <param name="unit">The unit that it is of, or null.</param>
    /// <param name="least">The least that it can be.</param>
    /// <param name="most">The most.</param>
    /// <returns>It; null where there is none, or it cannot be, which is told.</returns>
    public long? Number(Oid name, string what, string? unit, long least, long most)
    {
        if (_rows.Find(name) is not { } value)
        {
            return null;
        }

        if (value.IsNumber && value.Number >= least && value.Number <= most)
        {
            return value.Number;
        }

        Add(ProblemId.ValueUnreadable, unit, $"{what} ({name}) is {value}, and a number from {Say(least)} to {Say(most)} was expected.", "Tell the maker of the switch; the rest was read.");
        return null;
    }

    /// <summary>The text of an object; null where there is none, it is empty, or it is no text, which is told.</summary>
    public string? Text(Oid name, string what, string? unit = null)
    {
        if (_rows.Find(name) is not { } value)
        {
            return null;
        }

        if (value.Text() is not { } text)
        {
            Add(ProblemId.ValueUnreadable, unit, $"{what} ({name}) is {value}, and a text in UTF-8 was expected.", "Correct the text on the switch, or tell its maker.");
            return null;
        }

        text = text.Trim();
        return text.Length == 0 ? null : Excerpt.Of(text, 300);
    }

    /// <summary>The text of an object for looking something up, which is not shown and of which nothing is told; null where there is none or it is empty.</summary>
    public string? Loose(Oid name) => _rows.Find(name)?.LooseText() is { Length: > 0 } text ? text : null;

    /// <summary>The indexes of the rows of a table, by the columns that are read of it, in order.</summary>
    /// <param name="entry">The entry of the table.</param>
    /// <param name="indexLength">How many numbers an index has.</param>
    /// <param name="columns">The columns.</param>
    public IReadOnlyList<uint[]> Indexes(Oid entry, int indexLength, params uint[] columns)
    {
        SortedDictionary<Oid, uint[]> found = [];
        foreach (uint column in columns)
        {
            foreach (VarBind binding in _rows.Within(entry.Then(column)))
            {
                uint[] index = binding.Name.After(entry.Length + 1);
                if (index.Length == indexLength)
                {
                    found[Oid.Of(index)] = index;
                }
                else
                {
                    Add(ProblemId.RowIncomplete, null, $"The object {binding.Name} has an index of {Say(index.Length)} numbers, and {Say(indexLength)} were expected; it was left out.", "Tell the maker of the switch; the rest was read.");
                }
            }
        }

        return [.. found.Values];
    }

    private string Target(string unit) => _switch + "/" + unit;

    private static string Say(long number) => number.ToString(CultureInfo.InvariantCulture);
}
