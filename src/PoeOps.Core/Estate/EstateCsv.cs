using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Reads an estate from a plain list of switches, one a row.</summary>
internal sealed class EstateCsv(string path, IList<Problem> problems, EstateChecks checks)
{
    private readonly Dictionary<string, (string Zone, int Line)> _zones = new(StringComparer.OrdinalIgnoreCase);
    private readonly HashSet<string> _dialects = new(StringComparer.OrdinalIgnoreCase);
    private readonly SwitchCensus _census = new();

    /// <summary>What of the file was left unread, a sentence each.</summary>
    public List<string> Remarks { get; } = [];

    /// <summary>Reads the file.</summary>
    /// <param name="restartSeconds">The restart time of the one role that all loads have.</param>
    public EstateMap? Read(double restartSeconds)
    {
        TextFileResult file = TextFile.ReadMarked(path);
        if (file.Problem is not null)
        {
            problems.Add(file.Problem);
            return null;
        }

        char separator = CsvText.SeparatorOf(file.Text!);
        IReadOnlyList<CsvRow> rows = CsvText.Rows(file.Text!, separator, out (int Line, string Reason)? wrong);
        if (wrong is { } place)
        {
            Report(place.Line, $"The row cannot be taken apart: {place.Reason}.", $"Put fields that hold {CsvText.NameOf(separator)}s, line ends or double quotes into double quotes, and write a double quote in them twice.");
        }

        if (rows.Count == 0)
        {
            if (wrong is null)
            {
                Report(1, "The list has no row with content.", "Let the first row name the columns, and each other row say one switch.");
            }

            return null;
        }

        if (!new EstateCsvHeader(rows, (sentence, advice) => Report(rows[0].Line, sentence, advice), Remarks).Fits())
        {
            return null;
        }

        var role = new Role("load") { RestartSeconds = restartSeconds, NegotiateSeconds = restartSeconds };
        Switch[] switches = [.. rows.Skip(1).Select(row => Row(rows[0].Fields, row)).Where(one => one is not null).Select(one => one!)];
        return new EstateMap
        {
            Name = Path.GetFileNameWithoutExtension(path),
            SourcePath = path,
            Roles = [role],
            DefaultRole = role,
            Sites = [.. switches.GroupBy(one => one.Site, StringComparer.OrdinalIgnoreCase).Select(SiteOf)],
        };
    }

    private Site SiteOf(IGrouping<string, Switch> group) =>
        new() { Name = group.Key, Zone = _zones[group.Key].Zone, Switches = [.. group.Select(one => one with { Site = group.Key })] };

    private Switch? Row(IReadOnlyList<string> header, CsvRow row)
    {
        if (row.Fields.Count != header.Count)
        {
            Report(row.Line, $"The row has {Say(row.Fields.Count)} fields, and the header names {Say(header.Count)} columns.", "Give every row as many fields as the header.");
            return null;
        }

        if (row.Fields.Select((field, at) => (Text: field, Column: header[at])).FirstOrDefault(field => !PlainText.IsPlain(field.Text)) is { Text: not null } hidden)
        {
            string sentence = $"The field '{Excerpt.Of(hidden.Text)}' holds a character that nobody sees and that may change how what stands around it is shown.";
            problems.Add(new Problem(ProblemId.HiddenCharacter, sentence, "Write the field without it.") { File = path, Line = row.Line, Path = hidden.Column });
            return null;
        }

        var cells = new EstateCsvCells(header, row, (column, sentence, advice) => Report(row.Line, sentence, advice, column));
        string site = cells.Name("Site");
        CheckZone(site, cells.Written("Zone"), row.Line);
        LinkKind link = cells.Link("Link");
        var one = new Switch
        {
            Name = cells.Name("Switch"),
            Site = site,
            Address = cells.Address("Address"),
            Port = cells.Port("Port", required: link == LinkKind.Tcp),
            Link = link,
            ClearText = cells.Flag("ClearText"),
            Dialect = link == LinkKind.Snmp ? cells.Text("Dialect") : cells.Written("Dialect"),
            Credential = cells.Text("Credential"),
        };
        if (one.Dialect.Length > 0 && _dialects.Add(one.Dialect))
        {
            Ask(checks.Dialect, one.Dialect, row.Line, "Dialect");
        }

        _census.Add(one, row.Line, (key, sentence, advice) =>
            problems.Add(new Problem(ProblemId.SwitchTwice, sentence, advice) { File = path, Line = row.Line, Path = key == "name" ? "Switch" : "Address" }));
        return one;
    }

    private void CheckZone(string site, string zone, int line)
    {
        if (!_zones.TryGetValue(site, out (string Zone, int Line) known))
        {
            _zones.Add(site, (zone, line));
            Ask(checks.Zone, zone, line, "Zone");
        }
        else if (zone.Length > 0 && !string.Equals(known.Zone, zone, StringComparison.OrdinalIgnoreCase))
        {
            Report(line, $"The site '{Excerpt.Of(site)}' is in zone '{Excerpt.Of(zone)}' here and in zone '{Excerpt.Of(known.Zone)}' in line {Say(known.Line)}.", "Give every row of a site the same zone.", "Zone");
        }
    }

    // Told once, where it stands first.
    private void Ask(Func<string, Problem?>? check, string text, int line, string column)
    {
        if (text.Length > 0 && check?.Invoke(text) is { } wrong)
        {
            problems.Add(wrong with { File = path, Line = line, Path = column });
        }
    }

    private void Report(int line, string sentence, string advice, string? column = null) =>
        problems.Add(new Problem(ProblemId.CsvUnreadable, sentence, advice) { File = path, Line = line, Path = column });

    private static string Say(int number) => number.ToString(CultureInfo.InvariantCulture);
}
