using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Texts that lack something although each of their lines can be read.</summary>
public sealed class WholeReadingTests
{
    private const string Sedge = """
        {
          "name": "sedge",
          "console": { "prompts": ["^[a-z0-9-]+% $"] },
          "ask": { "controllers": ["boxes"], "ports": ["taps"], "neighbours": ["kin"] },
          "blocks": [
            { "name": "boxes", "of": "controller", "begins": ["boxes( \\((?<Count>.+)\\))?"], "rows": ["(?<Unit>\\w+) runs (?<Firmware>\\S+), (?<Condition>\\w+), (?<DrawWatts>\\S+ W), kept (?<AllocatedWatts>\\S+ W)"], "required": ["Condition"] },
            { "name": "hulls", "of": "controller", "begins": ["hulls"], "rows": ["(?<Unit>\\w+) is a (?<Model>\\S+)"] },
            { "name": "taps", "of": "port", "begins": ["taps of (?<Unit>\\w+)"], "ends": ["((?<Count>\\d+)|no) taps"], "required": ["Status"], "rows": [
              { "name": "with a note", "lines": ["(?<Port>\\S+) (?<Status>\\w+) (?<DrawWatts>\\S+ W)", " +note (?<Description>\\w+)"] },
              { "name": "bare", "lines": ["(?<Port>\\S+) (?<Status>\\w+) (?<DrawWatts>\\S+ W)"] } ] },
            { "name": "kin", "of": "port", "begins": ["kin"], "rows": ["(?<Unit>\\w+)/(?<Port>\\w+) = (?<Neighbour>\\S+)"] },
            { "name": "draw", "of": "port", "begins": ["draw of (?<Unit>\\w+)/(?<Port>\\w+) is (?<DrawWatts>\\d+)( mW)?"], "oneRecord": true },
            { "name": "whole", "of": "controller", "begins": ["sum of (?<Unit>\\w+)"], "ends": ["in all (?<DrawWatts>\\d+)"], "oneRecord": true },
            { "name": "twice", "of": "port", "begins": ["(pair (?<Unit>\\w+) )+of"], "rows": ["(?<Port>\\w+) (name (?<Neighbour>\\w+) ?)+", "(?<Port>\\w+) (?:A (?<Neighbour>\\w+))?(?: B (?<Neighbour>\\w+))?", "(?x) (?<Port>\\w+) \\s many (?: \\s (?<Neighbour>\\w+) ) {2}", "(?<Port>\\w+) both(?: (?'Neighbour'\\w+))(?#one){2}"] }
          ],
          "ignore": [ { "name": "log", "pattern": "<.*>" } ],
          "values": {
            "Condition": { "words": { "calm": "Healthy", "gone": "Absent" } },
            "Status": { "words": { "live": "DeliveringPower", "idle": "Searching" } },
            "DrawWatts": { "unit": "mW", "decimalMark": [".", ","] }
          },
          "versions": { "firmware": { "spellings": [ { "pattern": "(?<major>\\d+)\\.(?<minor>\\d+)", "parts": ["major", "minor"] } ] } }
        }
        """;

    private const string Box = "boxes\n1 runs 2.4, calm, 0 W, kept 0 W\n\n";

    private const string Again = "The row or the answer that tells it may be missing; read the device again.";

    [Theory]
    [InlineData(Box + "draw of 1/2 is 15400 mW\n", "1 Healthy 2.4|1/2 - 15.4 - -", "RowIncomplete 4 of 1: Port 1/2 came out without Status, which the block 'taps' requires. " + Again)]
    [InlineData(Box + "taps of 1\n2 idle 0 W\n1 taps\ndraw of 1/2 is 15", "1 Healthy 2.4|1/2 Searching 0 - -", "RowIncomplete 7 of 1: The text stops in this line, before the end of the block 'draw'. The row is left out, for something may be missing at its end; read the device again, or end the file with a line end where it is whole.")]
    [InlineData(Box + "taps of 1\n2 idle 0 W\n1 taps\nsum of 1\nin all 15", "1 Healthy 2.4|1/2 Searching 0 - -", "RowIncomplete 8 of 1: The text stops in this line, before the end of the block 'whole'. The row is left out, for something may be missing at its end; read the device again.")]
    [InlineData(Box + "taps of 1\n2 idle 0 W\n1 taps\ndraw of 1/2 is 15 mW\n  ", "1 Healthy 2.4|1/2 Searching 0 - -", "RowIncomplete 8 of 1: The text stops in this line, before the end of the block 'draw'. The row is left out, for something may be missing at its end; read the device again, or end the file with a line end where it is whole.")]
    [InlineData(Box + "taps of 1\n2 idle 0 W\n1 taps\ndraw of 1/2 is 15 mW\n", "1 Healthy 2.4|1/2 Searching 0.015 - -", "")]
    public void A_record_whose_last_line_was_cut_is_left_out(string text, string read, string told) => Check(text, read, told);

    [Theory]
    [InlineData("boxes\n1 runs 2.4, calm, 4 W, kept 7 W\n", "1 Healthy 2.4", "PortsMissing 2 of 1: No port of unit 1 was read, though it draws 4 W. The answer that tells of its ports may be missing; read the device again.")]
    [InlineData("boxes\n1 runs 2.4, calm, 0 W, kept 7.5 W\n", "1 Healthy 2.4", "PortsMissing 2 of 1: No port of unit 1 was read, though it has set 7.5 W aside. The answer that tells of its ports may be missing; read the device again.")]
    [InlineData("boxes\n1 runs 2.4, calm, 0 W, kept 0 W\n2 runs 2.4, calm, 0 W, kept 0 W\n3 runs 2.4, gone, 0 W, kept 0 W\ntaps of 2\n7 idle 0 W\n1 taps\n", "1 Healthy 2.4|2 Healthy 2.4|2/7 Searching 0 - -|3 Absent 2.4", "PortsMissing 2 of 1: No port of unit 1 was read, though ports of unit 2 were. The answer that tells of its ports may be missing; read the device again.")]
    [InlineData("boxes\n1 runs 2.4, calm, 0 W, kept 0 W\n2 runs 2.4, calm, 5 W, kept 0 W\n3 runs 2.4, gone, 0 W, kept 0 W\n", "1 Healthy 2.4|2 Healthy 2.4|3 Absent 2.4", "PortsMissing 3 of 2: No port of unit 2 was read, though it draws 5 W. The answer that tells of its ports may be missing; read the device again.")]
    [InlineData("boxes\n1 runs 2.4, calm, 0 W, kept 6 W\n2 runs 2.4, calm, 5 W, kept 0 W\n", "1 Healthy 2.4|2 Healthy 2.4", "PortsMissing 2 of -: No port of units 1, 2 was read, though unit 2 draws 5 W. The answer that tells of its ports may be missing; read the device again.")]
    [InlineData(Box, "1 Healthy 2.4", "")]
    public void A_unit_that_must_have_ports_and_has_none_is_told(string text, string read, string told) => Check(text, read, told);

    [Theory]
    [InlineData(Box + "kin\n1/7 = bell\n", "1 Healthy 2.4|1/7 - - - bell", "RowIncomplete 5 of 1: Port 1/7 came out without Status, which the block 'taps' requires. " + Again)]
    [InlineData(Box + "kin\n1/7 = bell\n1/8 = bell\n", "1 Healthy 2.4|1/7 - - - bell|1/8 - - - bell", "RowIncomplete 5 of 1: Ports 1/7, 1/8 came out without Status, which the block 'taps' requires. " + Again)]
    [InlineData("taps of 1\n7 idle 0 W\n1 taps\n", "1 Unknown -|1/7 Searching 0 - -", "RowIncomplete 2 of 1: Ports of unit 1 were read, and its controller was not. " + Again)]
    [InlineData("boxes\n1 runs 2.4, calm, many W, kept 0 W\ntaps of 1\n7 idle 0 W\n1 taps\n", "1 Unknown -|1/7 Searching 0 - -", "ValueUnreadable 2 of 1: DrawWatts 'many W' is no amount of power. Say under 'values' of the dialect how it is written and what its words mean.|RowIncomplete 4 of 1: Ports of unit 1 were read, and its controller was not. " + Again)]
    [InlineData("hulls\n1 is a S-24\n2 is a S-24\n", "1 Unknown -|2 Unknown -", "RowIncomplete 2 of -: Units 1, 2 came out without Condition, which the block 'boxes' requires. " + Again)]
    [InlineData("taps of 1\n7 idle 0 W\n1 taps\ntaps of 2\n7 idle 0 W\n1 taps\n", "1 Unknown -|1/7 Searching 0 - -|2 Unknown -|2/7 Searching 0 - -", "RowIncomplete 2 of -: Ports of units 1, 2 were read, and their controllers were not. " + Again)]
    [InlineData("hulls\n1 is a S-24\ntaps of 1\n7 idle 0 W\n1 taps\n", "1 Unknown -|1/7 Searching 0 - -", "RowIncomplete 2 of 1: Unit 1 came out without Condition, which the block 'boxes' requires. " + Again)]
    public void An_object_that_only_another_block_names_is_told(string text, string read, string told) => Check(text, read, told);

    [Theory]
    [InlineData("taps of 2\n7 idle 0 W\n", "BlockNotEnded 5 of 2: The block 'taps' began here and its end was not seen. The text was cut, or the dialect does not know this end; read the device again.", "1 1 0")]
    [InlineData("taps of 2\n7 idle 0 W\n8 id", "RowIncomplete 6 of 2: The row 'taps, with a note' has 2 lines, and only the first 1 came. The text was cut or another line came in between; read the device again, or name the other line under 'ignore'.", "0 1 0")]
    [InlineData("taps of 2\n7 idle 0 W\n1 taps\nkin\n2/8 = bell\ntaps of 1\n", "BlockNotEnded 10 of 1: The block 'taps' began here and its end was not seen. The text was cut, or the dialect does not know this end; read the device again.", "1 1 0")]
    public void What_is_missing_behind_a_cut_is_told_by_the_cut_and_counts_for_its_unit(string text, string told, string counts)
    {
        Reading reading = Read(Box.TrimEnd('\n') + "\n2 runs 2.4, calm, 4 W, kept 7 W\n3 runs 2.4, gone, 0 W, kept 0 W\n" + text);
        Assert.Equal(told, Told(reading.Problems));
        Assert.Equal(counts, string.Join(" ", reading.Controllers.Select(one => one.ReadingProblems)));
    }

    [Fact]
    public void A_problem_of_several_units_counts_for_each_of_them_and_for_no_other()
    {
        Reading reading = Read(Box + "taps of 3\n7 idle 0 W\n1 taps\ntaps of 2\n7 idle 0 W\n1 taps\nkin\n" + string.Concat(Enumerable.Range(1, 12).Select(port => $"1/{port} = bell\n")));
        Assert.Equal(
            "RowIncomplete 8 of 2: Ports of units 2, 3 were read, and their controllers were not. " + Again
            + "|RowIncomplete 11 of 1: Ports 1/1, 1/2, 1/3, 1/4, 1/5, 1/6, 1/7, 1/8, 1/9, 1/10 and 2 more came out without Status, which the block 'taps' requires. " + Again,
            Told(reading.Problems));
        Assert.Equal([1, 1, 1], reading.Controllers.Select(one => one.ReadingProblems));
    }

    [Theory]
    [InlineData("boxes (2)\n1 runs 2.4, calm, 0 W, kept 0 W\n2 runs 2.4, calm, 0 W, kept 0 W\n", "1 Healthy 2.4|2 Healthy 2.4", "")]
    [InlineData("boxes (2)\n1 runs 2.4, calm, 0 W, kept 0 W\n", "1 Healthy 2.4", "RowsMissing 1 of -: The block 'boxes' says 2 here, and 1 record of it was read. A row is missing or was misread; read the device again, or correct the dialect.")]
    [InlineData("boxes (two)\n1 runs 2.4, calm, 0 W, kept 0 W\n", "1 Healthy 2.4", "ValueUnreadable 1 of -: Count 'two' is no number of records. Correct the pattern that reads it.")]
    [InlineData(Box + "taps of 1\n7 idle 0 W\n7 idle 0 W\n8 idle 0 W\n2 taps\n", "1 Healthy 2.4|1/7 Searching 0 - -|1/8 Searching 0 - -", "")]
    [InlineData(Box + "taps of 1\n7 idle 0 W\n8 idle 0 W\n1 taps\n", "1 Healthy 2.4|1/7 Searching 0 - -|1/8 Searching 0 - -", "RowsMissing 7 of 1: The block 'taps' says 1 here, and 2 records of it were read. A row is missing or was misread; read the device again, or correct the dialect.")]
    [InlineData(Box + "taps of 1\n7 idle 0 W\nno taps\n", "1 Healthy 2.4|1/7 Searching 0 - -", "")]
    [InlineData(Box + "taps of 1\n7 idle 0 W\n", "1 Healthy 2.4|1/7 Searching 0 - -", "BlockNotEnded 4 of 1: The block 'taps' began here and its end was not seen. The text was cut, or the dialect does not know this end; read the device again.")]
    public void A_block_gives_as_many_records_as_it_says(string text, string read, string told) => Check(text, read, told);

    [Theory]
    [InlineData(Box + "taps of 1\n7 idle 0 W\n  mote x\n8 idle 0 W\n1 taps\n", "1 Healthy 2.4|1/8 Searching 0 - -", "RowIncomplete 5 of 1: The row 'taps, with a note' has 2 lines, and only the first 1 came. The text was cut or another line came in between; read the device again, or name the other line under 'ignore'.|LineUnread 6 of 1: No rule of the dialect 'sedge' reads this line in the block 'taps': '  mote x'. Add a row for it to the dialect, or name it under 'ignore'.")]
    [InlineData(Box + "taps of 1\n7 idle 0 W\n <a log>\n  note bell\nno taps\n", "1 Healthy 2.4", "RowIncomplete 5 of 1: The row 'taps, with a note' has 2 lines, and only the first 1 came. The text was cut or another line came in between; read the device again, or name the other line under 'ignore'.|LineUnread 6 of 1: No rule of the dialect 'sedge' reads this line in the block 'taps': ' <a log>'. Add a row for it to the dialect, or name it under 'ignore'.|LineUnread 7 of 1: No rule of the dialect 'sedge' reads this line in the block 'taps': '  note bell'. Add a row for it to the dialect, or name it under 'ignore'.")]
    [InlineData(Box + "taps of 1\n7 idle 0 W\n<a log line>\n  note bell\n8 idle 0 W\n2 taps\n", "1 Healthy 2.4|1/7 Searching 0 bell -|1/8 Searching 0 - -", "")]
    [InlineData(Box + "taps of 1\n7 idle 0 W\n  no", "1 Healthy 2.4", "RowIncomplete 5 of 1: The row 'taps, with a note' has 2 lines, and only the first 1 came. The text was cut or another line came in between; read the device again, or name the other line under 'ignore'.")]
    public void A_row_whose_next_line_cannot_be_read_is_not_taken_for_a_shorter_one(string text, string read, string told) => Check(text, read, told);

    [Theory]
    [InlineData("pair 1 of\n7 name bell name bell \n", "1/7 - - - bell", "")]
    [InlineData("pair 1 of\n7 name bell name horn \n", "", "ReadingsDisagree 5 of 1: Neighbour is 'horn' here and 'bell' earlier in the same line, in one record. Ask the device again; where it really prints both, correct the dialect.")]
    [InlineData("pair 1 of\n7 A bell B horn\n", "", "ReadingsDisagree 5 of 1: Neighbour is 'horn' here and 'bell' earlier in the same line, in one record. Ask the device again; where it really prints both, correct the dialect.")]
    [InlineData("pair 1 of\n7 many bell horn\n", "", "ReadingsDisagree 5 of 1: Neighbour is 'horn' here and 'bell' earlier in the same line, in one record. Ask the device again; where it really prints both, correct the dialect.")]
    [InlineData("pair 1 of\n7 both bell horn\n", "", "ReadingsDisagree 5 of 1: Neighbour is 'horn' here and 'bell' earlier in the same line, in one record. Ask the device again; where it really prints both, correct the dialect.")]
    [InlineData("pair 1 of\n7 A bell\n8  B horn\n", "1/7 - - - bell|1/8 - - - horn", "")]
    [InlineData("pair 2 pair 1 of\n7 A bell\n", "", "ReadingsDisagree 4 of 1: Unit is '1' here and '2' earlier in the same line, in one record. Ask the device again; where it really prints both, correct the dialect.")]
    public void A_group_that_took_two_texts_is_a_contradiction(string text, string ports, string told)
    {
        Reading reading = Read(Box + text);
        Assert.Equal(ports, string.Join("|", reading.Controllers.SelectMany(one => one.Ports).Select(Say)));
        Assert.Equal(told, Told(reading.Problems.Where(problem => !problem.Sentence.Contains("without Status", StringComparison.Ordinal))));
    }

    [Theory]
    [InlineData("taps of 1\n07 idle 0 W\n8 idle 0 W\n7 idle 0 W\n3 taps\n", "ReadingsDisagree 7 of 1: The ports '07' and '7' of unit 1 differ in zeros alone. If they are one, let every pattern skip the zeros, as 0*(?<Port>\\d+) does.")]
    [InlineData("taps of 1\n1/07 idle 0 W\n1/7 idle 0 W\n1/70 idle 0 W\n3 taps\n", "ReadingsDisagree 6 of 1: The ports '1/07' and '1/7' of unit 1 differ in zeros alone. If they are one, let every pattern skip the zeros, as 0*(?<Port>\\d+) does.")]
    [InlineData("boxes\n01 runs 2.4, calm, 0 W, kept 0 W\n", "ReadingsDisagree 2 of -: The units '01' and '1' differ in zeros alone. If they are one, let every pattern skip the zeros, as 0*(?<Unit>\\d+) does.")]
    public void Names_that_differ_in_zeros_alone_are_told(string text, string told) => Assert.Equal(told, Told(Read(Box + text).Problems));

    [Theory]
    [InlineData("1.48", "1.48")]
    [InlineData("1,48", "1.48")]
    [InlineData("0,480", "0.48")]
    [InlineData("1480.125", "1480.125")]
    [InlineData("1,480", null)]
    [InlineData("148.000", null)]
    public void Three_digits_behind_a_mark_that_may_be_either_are_not_guessed(string amount, string? watts)
    {
        Reading reading = Read(Box + $"taps of 1\n7 live {amount} W\nno taps\n");
        Assert.Equal(watts, reading.Controllers[0].Ports.SingleOrDefault()?.DrawWatts?.ToString(System.Globalization.CultureInfo.InvariantCulture));
        Assert.Equal(
            watts is null ? $"ValueUnreadable 5 of 1: DrawWatts '{amount} W' may be thousands or a fraction: three digits stand behind a mark, and both marks are decimal marks here. Say under 'values' of the dialect how it is written and what its words mean." : "",
            Told(reading.Problems));
        Assert.Empty(Read(Sedge.Replace("[\".\", \",\"]", "\"" + (amount.Contains(',', StringComparison.Ordinal) ? "," : ".") + "\"", StringComparison.Ordinal), Box + $"taps of 1\n7 live {amount} W\nno taps\n").Problems);
    }

    [Theory]
    [InlineData("sea% taps\n<nothing>\n\n", "there are only prompts and lines that it ignores. Check that this is a capture of that family and of the commands that the dialect asks.")]
    [InlineData("sea% boxes\rboxes\r1 runs 2.4, calm, 0 W, kept 0 W\rsea% ", "carriage returns without line feeds let each line overwrite the one before. Save it with line feeds, as a console prints them.")]
    [InlineData("sea% taps\nwhat is this\n", "the one line that holds something fits none of its rules. Check that this is a capture of that family and of the commands that the dialect asks.")]
    public void A_file_of_which_nothing_is_read_is_told_whatever_its_lines_are(string text, string told)
    {
        Assert.Equal("CaptureOfAnotherFamily - of -: The dialect 'sedge' reads nothing here: " + told, Told(Read(text).Problems));

        CaptureText beside = CaptureText.Together([CaptureText.FromText(text, "this.txt"), CaptureText.FromText(Box, "good.txt")]);
        Problem problem = Assert.Single(CaptureReader.Read(Dialect(Sedge), beside, new ReadingContext()).Problems);
        Assert.Equal((ProblemId.CaptureOfAnotherFamily, "this.txt"), (problem.Id, problem.File));
    }

    [Fact]
    public void Answers_of_a_console_may_be_empty_beside_others_that_are_not()
    {
        CaptureText answers = CaptureText.FromAnswers([new DeviceAnswer("boxes", Box), new DeviceAnswer("kin", "<nothing>\n")], "sea");
        Assert.Empty(CaptureReader.Read(Dialect(Sedge), answers, new ReadingContext()).Problems);
    }

    [Theory]
    [InlineData("sea~kin.txt", "<nothing>\n", "")]
    [InlineData("kin.txt", "<nothing>\n", "kin.txt: The dialect 'sedge' reads nothing here: there are only prompts and lines that it ignores.")]
    [InlineData("sea~kin.txt", "what is this\n", "sea~kin.txt: The dialect 'sedge' reads nothing here: the one line that holds something fits none of its rules.")]
    public void A_file_that_is_one_answer_by_its_name_may_hold_nothing_as_well(string name, string text, string told)
    {
        CaptureText files = CaptureText.Together([CaptureText.FromText(Box, "sea~boxes.txt"), CaptureText.FromText(text, name)]);
        Assert.Equal(told, string.Concat(CaptureReader.Read(Dialect(Sedge), files, new ReadingContext()).Problems.Select(problem => $"{problem.File}: {problem.Sentence}")));
    }

    [Theory]
    [InlineData("a/pier-1~tell-berths.txt", "pier-1", true)]
    [InlineData("pier-1.example.org~tell~more.txt", "pier-1.example.org", true)]
    [InlineData("pier-1.txt", "pier-1", false)]
    [InlineData("~pier-1.txt", "~pier-1", false)]
    public void The_name_of_a_capture_says_the_switch(string path, string name, bool oneAnswer) =>
        Assert.Equal((name, oneAnswer), (CaptureName.SwitchOf(path), CaptureName.IsOneAnswer(path)));

    [Fact]
    public void A_slow_pattern_is_told_and_not_taken_for_another_family()
    {
        string slow = Sedge.Replace("\"<.*>\"", "\"(a+)+b\"", StringComparison.Ordinal);
        Reading reading = Read(slow, string.Concat(Enumerable.Repeat(new string('a', 60) + "\n", 5)));
        Assert.Equal(
            "1: did not come|2: did not come|3: did not come|-: was given up",
            string.Join("|", reading.Problems.Select(problem => $"{problem.Line?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "-"}: {(problem.Sentence.Contains("given up", StringComparison.Ordinal) ? "was given up" : "did not come")}")));
        Assert.All(reading.Problems, problem => Assert.Equal(ProblemId.PatternTooSlow, problem.Id));
        Assert.Equal("2 more lines stay unread, for the pattern '^(?:(a+)+b)\\s*$' was given up.", reading.Problems[3].Sentence);
    }

    [Fact]
    public void A_contradiction_says_where_the_other_value_stands()
    {
        CaptureText first = CaptureText.FromText(Box + "taps of 1\n7 idle 0 W\n1 taps\n", "first.txt");
        CaptureText second = CaptureText.FromText("taps of 1\n7 live 0 W\n1 taps\n", "second.txt");
        Reading reading = CaptureReader.Read(Dialect(Sedge), CaptureText.Together([first, second]), new ReadingContext());
        Assert.Equal(
            "second.txt, line 2: Status of port 1/7 is 'DeliveringPower' here and 'Searching' in line 5 of first.txt. Ask the device again; where it really prints both, correct the dialect.",
            Assert.Single(reading.Problems).ToString());
    }

    [Theory]
    [InlineData("1 2.x|2 2.4|3 2.x", "VersionUnreadable 2 of 1: The firmware '2.x' of units 1, 3 is no version in any spelling of the dialect 'sedge'. Add its spelling under 'versions' of the dialect.", "1 0 1")]
    [InlineData("1 2.x|2 2.x", "VersionUnreadable 2 of -: The firmware '2.x' of units 1, 2 is no version in any spelling of the dialect 'sedge'. Add its spelling under 'versions' of the dialect.", "1 1")]
    [InlineData("1 2.4|2 2.x", "VersionUnreadable 3 of 2: The firmware '2.x' of unit 2 is no version in any spelling of the dialect 'sedge'. Add its spelling under 'versions' of the dialect.", "0 1")]
    public void A_version_that_no_spelling_reads_is_told_once_with_its_line(string units, string told, string counts)
    {
        Reading reading = Read("boxes\n" + string.Concat(units.Split('|').Select(unit => $"{unit.Replace(" ", " runs ", StringComparison.Ordinal)}, calm, 0 W, kept 0 W\n")));
        Assert.Equal(told, Told(reading.Problems));
        Assert.Equal(counts, string.Join(" ", reading.Controllers.Select(one => one.ReadingProblems)));
    }

    [Fact]
    public void An_unread_line_is_shown_to_its_odd_part()
    {
        string line = string.Concat(Enumerable.Repeat("0123456789", 19)) + "odd";
        Problem problem = Assert.Single(Read(Box + line + "\n").Problems);
        Assert.EndsWith($"outside every block: '{line}'.", problem.Sentence, StringComparison.Ordinal);
        Assert.Equal(line, problem.Text);
        Assert.EndsWith(line + "0123…'.", Assert.Single(Read(Box + line + "0123" + "456789\n").Problems).Sentence.Replace("odd0123456…", "odd0123…", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("3.5 W\r\u001b[1@3", "33.5 W")]
    [InlineData("933.5 W\r\u001b[P", "33.5 W")]
    [InlineData("933.5 W\r\u001b[2P", "3.5 W")]
    [InlineData("133.5 W\r\u001b[X", " 33.5 W")]
    [InlineData("133.5 W\r\u001b[C\u001b[2X", "1  .5 W")]
    [InlineData("33.5 W\u001b[9@\u001b[9P\u001b[9X", "33.5 W")]
    [InlineData("33.5 W\r\u001b[99X", "      ")]
    [InlineData("33.5 W\r\u001b[2 @\u001b[?1P", "33.5 W")]
    public void Characters_are_inserted_deleted_and_erased_as_on_a_screen(string raw, string seen) => Assert.Equal(seen, ConsoleText.Clean(raw));

    [Fact]
    public void Room_is_made_without_end_by_no_line() =>
        Assert.InRange(ConsoleText.Clean("x\r" + string.Concat(Enumerable.Repeat("\u001b[4096@", 1000))).Length, 4097, 65536);

    [Theory]
    [InlineData("\"parts\": [\"major\", \"minor\"]", "\"parts\": [\"major\"]", "PropertyUnknown 22 versions.firmware.spellings[0].pattern: The group 'minor' of the pattern '(?<major>\\d+)\\.(?<minor>\\d+)' is none of the parts, so that two versions that differ in it alone would be one. Name it under 'parts' at its weight, or write (?:...) instead.")]
    [InlineData("\"begins\": [\"hulls\"]", "\"begins\": [\"hulls\"], \"fixed\": { \"Condition\": \"fine\" }", "JsonBadValue 7 blocks[1].fixed.Condition: Condition is always 'fine' here, which is none of Unknown, Healthy, Faulted, Refreshing, Absent. Write what the property can be, or a word that 'values' gives a meaning to.")]
    [InlineData("\"begins\": [\"hulls\"]", "\"begins\": [\"hulls\"], \"fixed\": { \"BudgetWatts\": \"370\" }", "JsonBadValue 7 blocks[1].fixed.BudgetWatts: BudgetWatts is always '370' here, which names no unit, and the dialect gives none. Write what the property can be, or a word that 'values' gives a meaning to.")]
    [InlineData("\"ends\": [\"in all (?<DrawWatts>\\\\d+)\"]", "\"ends\": [\"in all (?<Count>\\\\d+)\"]", "PropertyUnknown 13 blocks[5].ends[0]: The group 'Count' of the pattern 'in all (?<Count>\\d+)' names nothing that can be filled here; the nearest is 'Unit'. The names that can be filled here are Unit, Model, Serial, Firmware, Release, Condition, BudgetWatts, GuardBandWatts, AllocatedWatts, DrawWatts, PseType.")]
    [InlineData("(?<Count>\\\\d+)|no", "(?<Conut>\\\\d+)|no", "PropertyUnknown 8 blocks[2].ends[0]: The group 'Conut' of the pattern '((?<Conut>\\d+)|no) taps' names nothing that can be filled here; the nearest is 'Count'. The names that can be filled here are Count.")]
    public void A_dialect_that_would_misread_is_refused(string right, string wrong, string told)
    {
        Assert.Contains(right, Sedge, StringComparison.Ordinal);
        Assert.Equal([told], Files.Told.Of(DialectFile.Parse(Sedge.Replace(right, wrong, StringComparison.Ordinal), "sedge").Problems));
    }

    [Fact]
    public void A_fixed_value_may_be_a_word_of_the_device() =>
        Assert.Equal(ControllerCondition.Healthy, Read(Sedge.Replace("\"begins\": [\"hulls\"]", "\"begins\": [\"hulls\"], \"fixed\": { \"Condition\": \"calm\" }", StringComparison.Ordinal), "hulls\n1 is a S-24\n").Controllers[0].Condition);

    private static void Check(string text, string read, string told)
    {
        Reading reading = Read(text);
        Assert.Equal(read, string.Join("|", reading.Controllers.SelectMany(one => one.Ports.Select(Say).Prepend($"{one.Unit} {one.Condition} {one.Firmware ?? "-"}"))));
        Assert.Equal(told, Told(reading.Problems));
        Assert.All(reading.Controllers, one => Assert.Equal(reading.Problems.Count(problem => problem.Target is null || problem.Target == one.Unit), one.ReadingProblems));
    }

    private static string Say(Port one) => FormattableString.Invariant($"{one.Unit}/{one.Name} {one.Status?.ToString() ?? "-"} {one.DrawWatts?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "-"} {one.Description ?? "-"} {one.Neighbour ?? "-"}");

    private static string Told(IEnumerable<Problem> problems) =>
        string.Join("|", problems.Select(problem => FormattableString.Invariant($"{problem.Id} {problem.Line?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "-"} of {problem.Target ?? "-"}: {problem.Sentence} {problem.Advice}")));

    private static Reading Read(string text) => Read(Sedge, text);

    private static Reading Read(string dialect, string text) => CaptureReader.Read(Dialect(dialect), CaptureText.FromText(text, "sea"), new ReadingContext());

    private static Dialect Dialect(string text)
    {
        DialectResult result = DialectFile.Parse(text, "sedge");
        Assert.Empty(Files.Told.Of(result.Problems));
        return result.Dialect!;
    }
}
