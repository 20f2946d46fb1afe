using System.Diagnostics;
using System.Globalization;
using System.Net;
using PoeOps.Estate;
using PoeOps.Snmp;

namespace PoeOps.Rehearsal.Tests;

/// <summary>The SNMP agents of a rehearsal, read by our reader and by net-snmp's programs.</summary>
[Collection(Alone.Name)]
public sealed class AgentTests
{
    private static SnmpReading Read(RunningRehearsal rehearsal, RehearsalSwitch one, SnmpAccess access) =>
        SnmpReader.Read(new IPEndPoint(IPAddress.Loopback, one.SnmpPort), access, new SnmpContext { Switch = one.Name, ReadUtc = rehearsal.Clock.UtcNow });

    private static UserAccess User(RunningRehearsal rehearsal, AuthProtocol protocol = AuthProtocol.Sha256) => new(new UserSecurity(
        protocol == AuthProtocol.Sha256 ? rehearsal.SnmpUser : rehearsal.SnmpUser + "-" + protocol.ToString().ToLowerInvariant(),
        new PasswordKey(protocol, rehearsal.SnmpAuthPassword), new PasswordKey(protocol, rehearsal.SnmpPrivPassword)));

    // The console says more than whole watts, and both say the same of the rest.
    [Fact]
    public void Every_agent_says_what_its_console_says()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        EstateMap estate = EstateFile.Read(rehearsal.EstatePath).Estate!;
        foreach (RehearsalSwitch one in rehearsal.Switches)
        {
            Assert.Equal(one.SnmpPort, estate.FindSwitch(one.Name)!.SnmpPort);
            SnmpReading reading = Read(rehearsal, one, User(rehearsal));
            Assert.Empty(reading.Problems.Select(problem => problem.ToString()));
            Assert.NotEmpty(reading.Controllers);
            Assert.All(reading.Controllers, unit => Assert.NotNull(unit.Serial));
            Assert.All(reading.Controllers, unit => Assert.Equal(one.Family == "oakum", unit.Firmware is not null));
            Assert.All(reading.Controllers.SelectMany(unit => unit.Ports), port => Assert.NotNull(port.Interface));
            Assert.All(reading.Controllers.SelectMany(unit => unit.Ports), port => Assert.Equal(one.Family == "kelpline", port.DrawWatts is not null));
        }
    }

    [Theory]
    [InlineData(AuthProtocol.Md5)]
    [InlineData(AuthProtocol.Sha1)]
    [InlineData(AuthProtocol.Sha224)]
    [InlineData(AuthProtocol.Sha384)]
    [InlineData(AuthProtocol.Sha512)]
    public void A_user_of_every_hash(AuthProtocol protocol)
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        Assert.Empty(Read(rehearsal, rehearsal.Switches[0], User(rehearsal, protocol)).Problems);
    }

    [Fact]
    public void Whom_it_does_not_know_it_does_not_answer()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        static ProblemId Only(SnmpReading reading) => Assert.Single(reading.Problems).Id;
        PasswordKey wrong = new(AuthProtocol.Sha256, "not the password");
        PasswordKey right = new(AuthProtocol.Sha256, rehearsal.SnmpAuthPassword);
        RehearsalSwitch one = rehearsal.Switches[0];
        Assert.Equal(ProblemId.SnmpUserUnknown, Only(Read(rehearsal, one, new UserAccess(new UserSecurity("nobody", right)))));
        Assert.Equal(ProblemId.SnmpWrongPassword, Only(Read(rehearsal, one, new UserAccess(new UserSecurity(rehearsal.SnmpUser, wrong)))));
        Assert.Equal(ProblemId.SnmpWrongPrivacy, Only(Read(rehearsal, one, new UserAccess(new UserSecurity(rehearsal.SnmpUser, right, wrong)))));
        Assert.Equal(ProblemId.SnmpLevelRefused, Only(Read(rehearsal, one, new UserAccess(new UserSecurity(rehearsal.SnmpUser)))));
    }

    [ProgramFact("snmpbulkwalk")]
    public void Snmpbulkwalk_walks_it()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        foreach (string root in new[] { "1.3.6.1.2.1.105", "1.0.8802", "1" })
        {
            (int exitCode, string printed) = Program("snmpbulkwalk", "-v2c", "-c", rehearsal.Community, "-On", "-m", "", AgentOf(rehearsal), root);
            Assert.True(exitCode == 0, printed);
            WalkResult walk = WalkFile.ReadText(printed, "mole-1.walk");
            Assert.Empty(walk.Problems);
            Assert.True(walk.Rows.Count > 2, printed);
        }
    }

    [ProgramFact("snmpget")]
    public void Snmpget_gets_from_it_as_a_user_of_every_hash()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        foreach ((string user, string hash) in new[] { ("rehearsal", "SHA-256"), ("rehearsal-md5", "MD5"), ("rehearsal-sha1", "SHA"), ("rehearsal-sha224", "SHA-224"), ("rehearsal-sha384", "SHA-384"), ("rehearsal-sha512", "SHA-512") })
        {
            foreach (string level in new[] { "authNoPriv", "authPriv" })
            {
                (int exitCode, string printed) = Program(
                    "snmpget", "-v3", "-u", user, "-l", level, "-a", hash, "-A", rehearsal.SnmpAuthPassword, "-x", "AES", "-X", rehearsal.SnmpPrivPassword, "-On", "-m", "", AgentOf(rehearsal), "1.3.6.1.2.1.1.5.0");
                Assert.True(exitCode == 0, printed);
                Assert.Contains($".1.3.6.1.2.1.1.5.0 = STRING: \"{rehearsal.Switches[0].Name}\"", printed);
            }
        }
    }

    [ProgramFact("snmpget")]
    public void Snmpget_is_told_why_it_is_refused()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        string Said(params string[] with) => Program("snmpget", ["-v3", "-r", "0", "-t", "3", "-x", "AES", "-On", "-m", "", .. with, AgentOf(rehearsal), "1.3.6.1.2.1.1.5.0"]).Printed;
        Assert.Contains("Unknown user name", Said("-u", "nobody", "-l", "authNoPriv", "-a", "SHA-256", "-A", "rehearsal-auth"));
        Assert.Contains("Authentication failure", Said("-u", "rehearsal", "-l", "authNoPriv", "-a", "SHA-256", "-A", "not the password"));
        Assert.Contains("Unsupported security level", Said("-u", "rehearsal", "-l", "noAuthNoPriv"));
    }

    [ProgramFact("snmpset")]
    public void Snmpset_sets_nothing()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        string before = Ports();
        (int exitCode, _) = Program("snmpset", "-v2c", "-c", rehearsal.Community, "-r", "0", "-t", "1", "-m", "", AgentOf(rehearsal), ".1.3.6.1.2.1.105.1.1.1.3.1.1", "i", "2");
        Assert.NotEqual(0, exitCode);
        Assert.Equal(before, Ports());

        string Ports() => string.Join(" ", Read(rehearsal, rehearsal.Switches[0], User(rehearsal)).Controllers[0].Ports.Select(port => port.AdminEnabled));
    }

    private static string AgentOf(RunningRehearsal rehearsal) => "127.0.0.1:" + rehearsal.Switches[0].SnmpPort.ToString(CultureInfo.InvariantCulture);

    private static (int ExitCode, string Printed) Program(string name, params string[] arguments)
    {
        using Process process = Process.Start(new ProcessStartInfo(name, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        string printed = process.StandardOutput.ReadToEnd();
        Assert.True(process.WaitForExit(60_000), $"'{name}' did not end.");
        return (process.ExitCode, printed + errors.Result);
    }
}

/// <summary>A test that needs a program by somebody else: left out with its reason where it is not installed, but never where CI is 'true'.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class ProgramFactAttribute : FactAttribute
{
    public ProgramFactAttribute(string program)
    {
        Program = program;
        bool mayBeMissing = !string.Equals(Environment.GetEnvironmentVariable("CI"), "true", StringComparison.OrdinalIgnoreCase);
        bool isThere = (Environment.GetEnvironmentVariable("PATH") ?? string.Empty).Split(Path.PathSeparator).Any(folder => File.Exists(Path.Combine(folder, program)));
        if (mayBeMissing && !isThere)
        {
            Skip = $"'{program}' is not installed; install it to see this run.";
        }
    }

    public string Program { get; }
}
