namespace PoeOps.Dialects;

/// <summary>What became of one line of an answer that is JSON.</summary>
internal sealed class JsonLineNote
{
    private readonly List<string> _rules = [];
    private readonly List<string> _ignored = [];
    private readonly List<string> _fields = [];
    private readonly HashSet<string> _told = new(StringComparer.Ordinal);
    private readonly List<string> _records = [];

    /// <summary>True where a value on it is read by nobody.</summary>
    public bool IsUnread { get; set; }

    /// <summary>What the line is read as; one of brackets alone is read with the answer.</summary>
    public ReadAs ReadAs => IsUnread ? ReadAs.Unread : _rules.Count == 0 && _ignored.Count > 0 ? ReadAs.Ignored : ReadAs.Read;

    /// <summary>The rules that took values of it.</summary>
    public string Rule => IsUnread ? string.Empty : _rules.Count + _ignored.Count == 0 ? "JSON" : string.Join(Coverage.BetweenRules, _rules.Concat(_ignored));

    /// <summary>What it filled.</summary>
    public string Fields => IsUnread ? string.Empty : string.Join("; ", _fields);

    /// <summary>The records that begin on it.</summary>
    public string Record => IsUnread ? string.Empty : string.Join(", ", _records);

    /// <summary>Notes that a rule read a value.</summary>
    public void Add(string rule, string? field)
    {
        Once(_rules, rule);
        if (field is not null && _told.Add(field))
        {
            _fields.Add(field);
        }
    }

    /// <summary>Notes a record that begins here.</summary>
    public void Add(ReadRecord record) => _records.Add(record.Label);

    /// <summary>Notes that a rule ignores a value.</summary>
    public void Ignore(string rule) => Once(_ignored, rule);

    private static void Once(List<string> rules, string rule)
    {
        if (!rules.Contains(rule))
        {
            rules.Add(rule);
        }
    }
}
