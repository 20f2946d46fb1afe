using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

/// <summary>What a user is told of a wrong estate, whole.</summary>
public sealed class EstateBadInputTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("\"zone\": \"Europe/Lisbon\",", "\"zoen\": \"Europe/Lisbon\",", new[]
    {
        "JsonMissingKey 12 sites[0]: The key 'zone' is missing, and a text was expected in it. Add 'zone' to the object that begins in this line.",
        "JsonUnknownKey 14 sites[0].zoen: The key 'zoen' is not known here; the nearest is 'zone'. The keys known here are name, zone, localTime, contact, windows, extraWindows, freezes, limits, busyHours, switches, coverageGroups.",
    })]
    [InlineData("\"port\": 2323", "\"port\": \"2323\"", new[] { "JsonWrongType 20 sites[0].switches[0].port: Found the text '2323' where a whole number was expected. Write a whole number there." })]
    [InlineData("\"port\": 2323", "\"port\": 0", new[] { "JsonBadValue 20 sites[0].switches[0].port: Found the number 0 where a whole number of 1 to 65535 was expected. Write a number within these bounds." })]
    [InlineData("\"name\": \"quay-2\"", "\"name\": \"QUAY-1\"", new[] { "SwitchTwice 24 sites[0].switches[1].name: The switch 'QUAY-1' stands twice; the first is in line 19. Give every switch a name of its own; case makes no difference." })]
    [InlineData("localhost\", \"link\": \"ssh\"", "127.0.0.11\", \"port\": 2323, \"link\": \"ssh\"", new[] { "SwitchTwice 24 sites[0].switches[1].address: The switches 'quay-1' (line 19) and 'quay-2' have the same address 127.0.0.11, port 2323. Give every switch an address and port of its own." })]
    [InlineData("\"name\": \"islet\"", "\"name\": \"Quay\"", new[] { "NameTwice 27 sites[1].name: The site 'Quay' stands twice; the first is in line 12. Give every site a name of its own; case makes no difference." })]
    [InlineData("\"name\": \"other\"", "\"name\": \"phone\"", new[] { "NameTwice 9 roles[2].name: The role 'phone' stands twice; the first is in line 7. Give every role a name of its own; case makes no difference." })]
    [InlineData("\"role\": \"Phone\"", "\"role\": \"phnoe\"", new[] { "NotInEstate 22 sites[0].switches[0].loads[0].role: The estate has no role 'phnoe'; the nearest is 'phone'. Name a role of the estate, or add this one to 'roles'." })]
    [InlineData(", \"default\": true", "", new[] { "JsonBadValue 6 roles: No role is the default, and one is expected to be: it holds for every load that nothing else gives a role. Add '\"default\": true' to one role." })]
    [InlineData("\"lifeSafety\": true", "\"default\": true", new[] { "JsonBadValue 9 roles[2].default: The roles 'help point' and 'other' are both the default, and one role is expected to be. Leave it at one of them." })]
    [InlineData("\"^tel-\"", "\"(tel\"", new[] { "PatternInvalid 7 roles[0].match[0]: '(tel' is no regular expression of .NET: Invalid pattern '(tel' at offset 4. Not enough )'s. Correct the expression; a sign that stands for itself needs two backslashes before it in JSON." })]
    [InlineData("\"link\": \"telnet\"", "\"link\": \"Telnet\"", new[] { "JsonBadValue 20 sites[0].switches[0].link: 'Telnet' is no kind of link; the nearest is 'telnet'. Write one of telnet, tcp, ssh, snmp." })]
    [InlineData("\"port\": 4001, ", "", new[] { "JsonMissingKey 27 sites[1].switches[0]: The key 'port' is missing, and a link by 'tcp' has no port of its own. Add the TCP port." })]
    [InlineData("\"127.0.0.11\"", "\"127.0.0.11:23\"", new[] { "JsonBadValue 20 sites[0].switches[0].address: '127.0.0.11:23' is no host name or IP address: it has a colon and is no IPv6 address. Write the host alone, without port or protocol, such as 192.0.2.11 or north-1.example.org." })]
    [InlineData("\"name\": \"quay-2\"", "\"name\": \"quay/2\"", new[] { "JsonBadValue 24 sites[0].switches[1].name: 'quay/2' cannot be a name: a name has a slash in it. Names have no slash, no control character and no space around them, and 200 characters at the most." })]
    [InlineData("\"ports\": \"20\"", "\"ports\": \"8-20\"", new[] { "NameTwice 22 sites[0].switches[0].loads[1].ports: Port '8' of unit '1' has a load twice. Let each port stand in one load setting." })]
    [InlineData("\"ports\": \"1-8,12\"", "\"ports\": \"8-1\"", new[] { "JsonBadValue 22 sites[0].switches[0].loads[0].ports: '8-1' is no list of ports: the range '8-1' ends before it begins. Write names and ranges with commas between, such as 1-8,12,A3." })]
    [InlineData("\"ports\": \"20\", \"role\": \"help point\"", "\"ports\": \"20\"", new[] { "JsonMissingKey 22 sites[0].switches[0].loads[1]: Neither 'load' nor 'role' is there, so the setting sets nothing. Add the name of the load, its role, or both." })]
    [InlineData("\"Tuesday\"", "\"Thuesday\"", new[] { "JsonBadValue 15 sites[0].windows[0].days[0]: 'Thuesday' is no day of the week; the nearest is 'Tuesday'. Write one of Sunday, Monday, Tuesday, Wednesday, Thursday, Friday, Saturday." })]
    [InlineData("[\"Tuesday\", \"Thursday\"]", "[]", new[] { "WindowImpossible 15 sites[0].windows[0].days: The window has no days, so it never opens. Name at least one day of the week." })]
    [InlineData("\"22:30\"", "\"10:30 pm\"", new[] { "JsonBadValue 15 sites[0].windows[0].opens: '10:30 pm' is no time of day. Write it as in 22:30." })]
    [InlineData("\"PT5H\"", "\"5 hours\"", new[] { "JsonBadValue 15 sites[0].windows[0].length: '5 hours' is no length of time. Write it in the form of ISO 8601, such as PT5H or PT4H30M." })]
    [InlineData("\"PT5H\"", "\"PT0H\"", new[] { "WindowImpossible 15 sites[0].windows[0].length: The window is 'PT0H' long, and more than no time and at most 31 days were expected. Write how long the window is open, such as PT5H." })]
    [InlineData("\"2026-12-04T22:00\"", "\"2026-12-04\"", new[] { "JsonBadValue 16 sites[0].extraWindows[0].opens: '2026-12-04' is no local date and time. Write it as in 2026-12-04T22:00." })]
    [InlineData("\"2027-01-06\"", "\"2026-01-06\"", new[] { "WindowImpossible 17 sites[0].freezes[0].until: The freeze is from 2026-12-20 until 2026-01-06, so it ends before it begins. Let 'until' be the last day of the freeze; that day belongs to it." })]
    [InlineData("\"Europe/Lisbon\"", "\" \"", new[] { "JsonBadValue 14 sites[0].zone: The text of 'zone' is empty. Write what it stands for, or remove what it belongs to." })]
    [InlineData("\"speed\": 60", "\"speed\": 0", new[] { "JsonBadValue 29 rehearsal.speed: Found the number 0 where a number of 1 to 100000 was expected. Write a number within these bounds." })]
    [InlineData("\"2026-11-25T21:00:00Z\"", "\"2026-11-25 21:00\"", new[] { "JsonBadValue 29 rehearsal.machineStartUtc: '2026-11-25 21:00' is no moment in UTC. Write date and time with Z at the end, such as 2026-11-25T21:00:00Z." })]
    [InlineData("\"dialects\": [\"dialects\",", "\"dialects\": [\"\",", new[] { "JsonBadValue 5 dialects[0]: '' is no path of a file or folder. Write a path that starts from the folder of the estate file, with / between folders." })]
    [InlineData("\"restartSeconds\": 90, ", "", new[] { "JsonMissingKey 7 roles[0]: The key 'restartSeconds' is missing, and a number was expected in it. Add 'restartSeconds' to the object that begins in this line." })]
    [InlineData("\"policy\": \"draw\"", "\"policy\": \"drew\"", new[] { "JsonBadValue 20 sites[0].switches[0].power.policy: 'drew' is nothing that a port claims by; the nearest is 'draw'. Write class, draw or limit." })]
    [InlineData("715.5]", "-5]", new[] { "JsonBadValue 20 sites[0].switches[0].power.supplyWatts: A supply of -5 W is none; above 0 and up to 100000 was expected. Give what it can give the ports, or leave out one that is not there." })]
    [InlineData("715.5]", "\"715\"]", new[] { "JsonWrongType 20 sites[0].switches[0].power.supplyWatts[1]: Found the text '715' where a number was expected. Write a number there." })]
    [InlineData("\"efficiency\": 0.9", "\"efficiency\": 90", new[] { "JsonBadValue 21 sites[0].switches[0].units[0].power.efficiency: An efficiency of 90 at a load of 1 is none; above 0 and up to 1, at a load from 0 to 1, was expected. Write 92 % as 0.92, and half of the rated load as 0.5." })]
    [InlineData("\"load\": 0.2", "\"load\": 1", new[] { "JsonBadValue 4 power.efficiency: A curve of efficiency has two points at one load. Keep one of them." })]
    [InlineData("\"pseType\": 2", "\"pseType\": 5", new[] { "JsonBadValue 4 power.pseType: Found the number 5 where a whole number of 1 to 4 was expected. Write a number within these bounds." })]
    [InlineData("\"clearText\": true", "\"clearText\": \"yes\"", new[] { "JsonWrongType 27 sites[1].switches[0].clearText: Found the text 'yes' where true or false was expected. Write true or false there." })]
    [InlineData("\"clearText\": true", "\"cleartext\": true", new[] { "JsonUnknownKey 27 sites[1].switches[0].cleartext: The key 'cleartext' is not known here; the nearest is 'clearText'. The keys known here are power, link, name, address, port, clearText, snmp, dialect, credential, fileServer, units, loads." })]
    [InlineData("\"coverageGroup\": \"radios\"", "\"coverageGroup\": \"raidos\"", new[]
    {
        "NotInEstate 17 sites[0].coverageGroups[0].name: No unit of the site bears the coverage group 'Radios'; the nearest is 'raidos'. Give its units the group by 'coverageGroup', or remove it.",
        "NotInEstate 21 sites[0].switches[0].units[0].coverageGroup: The site lists its coverage groups, and 'raidos' is not among them; the nearest is 'Radios'. Correct the word, or add the group to 'coverageGroups' of the site.",
    })]
    [InlineData("\"coverageGroup\": \"radios\"", "\"coverageGroup\": \"radios \"", new[] { "JsonBadValue 21 sites[0].switches[0].units[0].coverageGroup: 'radios ' cannot be a name: a name is empty or has space around it. Write the word as the other units of the group have it." })]
    [InlineData("\"^tel-\"", "\"\"", new[] { "PatternInvalid 7 roles[0].match[0]: The pattern is empty, so it fits every load, and no role behind it would get any. Write a pattern, or remove it; the role of every other load is the default." })]
    [InlineData("{ \"unit\": \"1\", \"coverageGroup\"", "{ \"unit\": 1, \"coverageGroup\"", new[] { "JsonWrongType 21 sites[0].switches[0].units[0].unit: Found the number 1 where a text was expected. Write it in double quotes: \"1\"." })]
    [InlineData("\"ports\": \"20\"", "\"ports\": \"1..3\"", new[] { "JsonBadValue 22 sites[0].switches[0].loads[1].ports: '1..3' is no list of ports: '1..3' is no range; 1-3 is. Write names and ranges with commas between, such as 1-8,12,A3." })]
    [InlineData("\"name\": \"Radios\"", "\"name\": \" Radios\"", new[] { "JsonBadValue 17 sites[0].coverageGroups[0].name: ' Radios' cannot be a name: a name is empty or has space around it. Write the word as its units have it under 'coverageGroup'." })]
    public void A_mistake_is_told_whole(string right, string wrong, string[] told)
    {
        Assert.Contains(right, SampleEstate.Text);
        Assert.Equal(told, Told.Of(Refused(SampleEstate.Text.Replace(right, wrong))));
    }

    [Theory]
    [InlineData("127.0.0.11", "192.0.2.11", "JsonBadValue 20 sites[0].switches[0].address: The estate has the clock of a rehearsal, and the switch 'quay-1' is at '192.0.2.11', where a loopback address was expected. Remove 'rehearsal' from an estate of real switches, or use the estate that the rehearsal wrote.")]
    [InlineData("\"localhost\"", "\"localhost.example.org\"", "JsonBadValue 24 sites[0].switches[1].address: The estate has the clock of a rehearsal, and the switch 'quay-2' is at 'localhost.example.org', where a loopback address was expected. Remove 'rehearsal' from an estate of real switches, or use the estate that the rehearsal wrote.")]
    [InlineData("\"::1\"", "\"2001:db8::7\"", "JsonBadValue 27 sites[1].switches[0].address: The estate has the clock of a rehearsal, and the switch 'islet-1' is at '2001:db8::7', where a loopback address was expected. Remove 'rehearsal' from an estate of real switches, or use the estate that the rehearsal wrote.")]
    public void A_rehearsals_clock_never_meets_a_real_switch(string right, string wrong, string told)
    {
        Assert.Contains(right, SampleEstate.Text);
        Assert.Equal([told], Told.Of(Refused(SampleEstate.Text.Replace(right, wrong))));
        Assert.Empty(EstateFile.Read(_folder.Write("real.estate.json", SampleEstate.Real.Replace(right, wrong))).Problems);
    }

    [Fact]
    public void A_unit_that_has_settings_twice_is_told()
    {
        string text = SampleEstate.Text.Replace("\"efficiency\": 0.9 } }", "\"efficiency\": 0.9 } }, { \"unit\": \"1\" }");
        Assert.Equal(
            ["NameTwice 21 sites[0].switches[0].units[1].unit: The unit '1' has settings twice. Put all settings of a unit into one object; case makes no difference."],
            Told.Of(Refused(text)));
    }

    [Fact]
    public void All_mistakes_of_a_file_are_told_at_once()
    {
        string text = SampleEstate.Text.Replace("\"PT5H\"", "5").Replace("\"weight\": 10", "\"wieght\": 10").Replace("\"kelp\"", "7").Replace("\"name\": \"Lagoon\",", "");
        Assert.Equal(
            [ProblemId.JsonMissingKey, ProblemId.JsonUnknownKey, ProblemId.JsonWrongType, ProblemId.JsonWrongType], Refused(text).Select(problem => problem.Id));
    }

    [Fact]
    public void A_syntax_error_is_told_with_line_and_column() =>
        Assert.Equal(
            ["JsonSyntax 4 -: The text is no JSON at line 4, column 2: a comma, or a closing bracket, is missing before '\"'. Correct the text there or just before it."],
            Told.Of(Refused(SampleEstate.Text.Replace("\"Lagoon\",", "\"Lagoon\""))));

    [Fact]
    public void Files_that_are_no_text_are_told_like_any_other()
    {
        Assert.Equal(ProblemId.FileNotFound, Assert.Single(EstateFile.Read(_folder.Path("none.json")).Problems).Id);
        Assert.Equal(ProblemId.FileEmpty, Assert.Single(EstateFile.Read(_folder.Write("e.json", "")).Problems).Id);
        Assert.Equal(ProblemId.FileNotUtf8, Assert.Single(EstateFile.Read(_folder.Write("u.json", [0x7B, 0xFC, 0x7D])).Problems).Id);
        using (FileStream stream = new(_folder.Path("large.json"), FileMode.CreateNew))
        {
            stream.SetLength(200_000_000);
        }

        Assert.Equal(ProblemId.FileTooLarge, Assert.Single(EstateFile.Read(_folder.Path("large.json")).Problems).Id);
    }

    [Fact]
    public void An_empty_object_lacks_what_every_estate_has() =>
        Assert.Equal(
            ["name", "roles", "sites"], Refused("{}").Select(problem => problem.Sentence.Split('\'')[1]));

    private IReadOnlyList<Problem> Refused(string text)
    {
        string path = _folder.Write("bad.estate.json", text);
        EstateResult result = EstateFile.Read(path);
        Assert.Null(result.Estate);
        Assert.All(result.Problems, problem => Assert.Equal(path, problem.File));
        return result.Problems;
    }
}
