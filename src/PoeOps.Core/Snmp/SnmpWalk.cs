using System.Globalization;

namespace PoeOps.Snmp;

/// <summary>
/// Walks columns of an agent side by side, by GETBULK where the version has it. How much is asked for at once follows what the agent sends: less where it says tooBig
/// or cuts short, more where it sends all. Rows are never taken for whole: each column goes on from its own last name. A column that does not go on is ended and told.
/// </summary>
public sealed class SnmpWalk
{
    /// <summary>The most objects of one walk.</summary>
    public const int MostRows = 500_000;

    private const int TooBig = 1;
    private const int NoSuchName = 2;
    private const int FirstBindings = 32;
    private const int MostBindings = 100;
    private const int MostColumns = 8;

    // A table with a time filter (RFC 4502, TimeFilter) shows each row again under every mark, for as long as the agent runs. The rows are the same ones.
    private const int MostMarks = 8;

    private readonly SnmpSession _session;
    private readonly SnmpRows _rows;
    private readonly IList<Problem> _problems;
    private int _bindings = FirstBindings;
    private int _columns = MostColumns;
    private bool _bulk;

    /// <summary>Prepares to walk.</summary>
    /// <param name="session">Asks the agent.</param>
    /// <param name="rows">Where the objects go.</param>
    /// <param name="problems">Where columns are told that end before their end.</param>
    public SnmpWalk(SnmpSession session, SnmpRows rows, IList<Problem> problems) => (_session, _rows, _problems) = (session, rows, problems);

    /// <summary>Walks columns, or whole subtrees, to their ends.</summary>
    /// <exception cref="PoeOpsException">The agent stopped answering.</exception>
    public void Columns(params Oid[] roots) => Columns(roots, _ => false);

    /// <summary>Walks columns, some of them of tables whose index begins with a time mark: these are ended where a row comes under yet another mark for the ninth time.</summary>
    /// <param name="roots">The columns.</param>
    /// <param name="isTimeMarked">Tells which of them are of such tables.</param>
    /// <exception cref="PoeOpsException">The agent stopped answering.</exception>
    public void Columns(IEnumerable<Oid> roots, Func<Oid, bool> isTimeMarked)
    {
        List<Cursor> live = [.. roots.Select(root => new Cursor(root, isTimeMarked(root)))];
        _bulk = _session.Version != SnmpVersion.V1;
        while (live.Count > 0)
        {
            Round([.. live.Take(_columns)]);
            live.RemoveAll(cursor => cursor.Done);
            if (_rows.Count > MostRows)
            {
                _problems.Add(Endless($"has more than {Text(MostRows)} objects"));
                return;
            }
        }
    }

    private void Round(Cursor[] asked)
    {
        Oid[] names = [.. asked.Select(cursor => cursor.Last)];
        int repetitions = _bulk ? Math.Max(1, _bindings / asked.Length) : 1;
        SnmpPdu answer = _bulk ? _session.GetBulk(repetitions, names) : _session.GetNext(names);
        if (answer.ErrorStatus != 0)
        {
            Refused(answer, asked, repetitions);
            return;
        }

        for (int i = 0; i < answer.Bindings.Count; i++)
        {
            Take(asked[i % asked.Length], answer.Bindings[i]);
        }

        Adapt(answer.Bindings.Count, repetitions * asked.Length, asked);
    }

    private void Take(Cursor cursor, VarBind found)
    {
        if (cursor.Done)
        {
            return;
        }

        if (found.Value.Type == SnmpType.EndOfMibView || !found.Name.IsWithin(cursor.Root))
        {
            cursor.Done = true;
        }
        else if (found.Name <= cursor.Last)
        {
            cursor.Done = true;
            _problems.Add(Endless($"gives {found.Name} after {cursor.Last}, which does not go forward"));
        }
        else if (cursor.IsRepeated(found.Name))
        {
            cursor.Done = true;
        }
        else
        {
            cursor.Last = found.Name;
            _rows.Add(found);
        }
    }

    // What was cut short says how much fits; what came whole lets more be asked for.
    private void Adapt(int got, int wanted, Cursor[] asked)
    {
        if (got == 0)
        {
            AskLess(wanted, asked, "answers with no objects");
        }
        else if (got < wanted && !asked.All(cursor => cursor.Done))
        {
            _bindings = got;
        }
        else
        {
            _bulk = _session.Version != SnmpVersion.V1;
            _bindings = Math.Min(MostBindings, Math.Max(_bindings, wanted) * 2);
            _columns = Math.Min(MostColumns, _columns * 2);
        }
    }

    private void Refused(SnmpPdu answer, Cursor[] asked, int repetitions)
    {
        if (_session.Version == SnmpVersion.V1 && answer.ErrorStatus == NoSuchName && answer.ErrorIndex >= 1 && answer.ErrorIndex <= asked.Length)
        {
            // Version 1 says so that nothing comes after a name (RFC 1157 section 4.1.3).
            asked[answer.ErrorIndex - 1].Done = true;
            return;
        }

        string error = answer.ErrorStatus == TooBig ? "says that the answer would be too big" : $"answers with the error {SnmpErrors.Name(answer.ErrorStatus)}";
        AskLess(repetitions * asked.Length, asked, error);
    }

    // First fewer at once, then fewer columns, then one name alone; then there is nothing less to ask for.
    private void AskLess(int wanted, Cursor[] asked, string what)
    {
        if (wanted > asked.Length)
        {
            _bindings = Math.Max(1, wanted / 2);
        }
        else if (asked.Length > 1)
        {
            _columns = asked.Length / 2;
        }
        else if (_bulk)
        {
            _bulk = false;
        }
        else
        {
            asked[0].Done = true;
            _problems.Add(new Problem(
                ProblemId.SnmpRefused, $"The agent {what} where the object after {asked[0].Last} is asked for, so the rest of {asked[0].Root} was not read.",
                "Look at what the user or community may see, and at the switch's own log."));
        }
    }

    private static Problem Endless(string what) =>
        new(ProblemId.SnmpWalkEndless, $"A walk was ended because the agent {what}.", "What was read until then is kept; tell the maker of the switch.");

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);

    private sealed class Cursor(Oid root, bool timeMarked)
    {
        private readonly Dictionary<Oid, int> _marks = [];

        public Oid Root { get; } = root;

        public Oid Last { get; set; } = root;

        public bool Done { get; set; }

        public bool IsRepeated(Oid name)
        {
            if (!timeMarked)
            {
                return false;
            }

            Oid row = Oid.Of(name.After(Root.Length + 1));
            _marks.TryGetValue(row, out int marks);
            _marks[row] = marks + 1;
            return marks >= MostMarks;
        }
    }
}

/// <summary>The errors of answers (RFC 3416 section 3).</summary>
internal static class SnmpErrors
{
    private static readonly string[] Names =
    [
        "noError", "tooBig", "noSuchName", "badValue", "readOnly", "genErr", "noAccess", "wrongType", "wrongLength", "wrongEncoding", "wrongValue", "noCreation",
        "inconsistentValue", "resourceUnavailable", "commitFailed", "undoFailed", "authorizationError", "notWritable", "inconsistentName",
    ];

    /// <summary>The name of an error, or its number where it has none.</summary>
    public static string Name(int status) => status >= 0 && status < Names.Length ? Names[status] : status.ToString(CultureInfo.InvariantCulture);
}
