using PoeOps.Core.Tests.Files;
using PoeOps.Core.Tests.Images;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>The reader against an agent that other people wrote: Debian's snmpd, serving rows of RFC 3621.</summary>
public sealed class SnmpDaemonTests
{
    private static readonly SnmpTimes Brisk = new() { FirstWait = TimeSpan.FromSeconds(2), LongestWait = TimeSpan.FromSeconds(5), FirstTries = 30, Tries = 30 };
    private static readonly SnmpTimes Impatient = new() { FirstWait = TimeSpan.FromSeconds(2), LongestWait = TimeSpan.FromSeconds(2), FirstTries = 3, Tries = 3 };
    private static readonly SnmpContext North = new() { Switch = "north", ReadUtc = SyntheticWalk.ReadUtc };

    private static readonly string[] ExpectedUnits = ["1 Healthy on budget 370 draw 12 ports 8 powered 2 - - - - problems 0"];

    [OtherProgramTheory("snmpd")]
    [InlineData(SnmpVersion.V1)]
    [InlineData(SnmpVersion.V2c)]
    public void By_a_community(SnmpVersion version)
    {
        using var daemon = new SnmpDaemon();
        SnmpReading reading = SnmpReader.Read(daemon.Endpoint, new CommunityAccess(SnmpDaemon.Community, version), North, Brisk);
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(ExpectedUnits, SyntheticWalk.Units(reading));
        Assert.Equal("north/1/3 DeliveringPower class 3 Low admin True draw - pd - - '-'", SyntheticWalk.Ports(reading)[2]);
    }

    [OtherProgramTheory("snmpd")]
    [InlineData(AuthProtocol.Md5)]
    [InlineData(AuthProtocol.Sha1)]
    [InlineData(AuthProtocol.Sha224)]
    [InlineData(AuthProtocol.Sha256)]
    [InlineData(AuthProtocol.Sha384)]
    [InlineData(AuthProtocol.Sha512)]
    public void As_a_user_at_every_level(AuthProtocol protocol)
    {
        using var daemon = new SnmpDaemon();
        foreach (SecurityLevel level in Enum.GetValues<SecurityLevel>())
        {
            SnmpReading reading = SnmpReader.Read(daemon.Endpoint, SnmpDaemon.Access(protocol, level), North, Brisk);
            Assert.Empty(Told.Of(reading.Problems));
            Assert.Equal(ExpectedUnits, SyntheticWalk.Units(reading));
        }
    }

    // net-snmp drops in silence what decrypts to nonsense, or reports it, by what the nonsense is.
    [OtherProgramTheory("snmpd")]
    [InlineData("wrong password", ProblemId.SnmpWrongPassword, "The agent refuses the authentication of the user 'nightsha256' with Sha256.")]
    [InlineData("unknown user", ProblemId.SnmpUserUnknown, "The agent does not know the user 'nobody'.")]
    [InlineData("wrong hash", ProblemId.SnmpWrongPassword, "The agent refuses the authentication of the user 'nightsha256' with Sha512.")]
    [InlineData("no password there", ProblemId.SnmpLevelRefused, "The agent does not take level AuthNoPriv for the user 'open'.")]
    public void What_is_refused_says_why(string what, ProblemId id, string sentence)
    {
        using var daemon = new SnmpDaemon();
        static UserSecurity User(string name, AuthProtocol protocol, string password) => new(name, new PasswordKey(protocol, password), new PasswordKey(protocol, SnmpDaemon.PrivPassword));
        UserAccess access = what switch
        {
            "wrong password" => new(User("nightsha256", AuthProtocol.Sha256, "not the password"), SecurityLevel.AuthNoPriv),
            "wrong hash" => new(User("nightsha256", AuthProtocol.Sha512, SnmpDaemon.AuthPassword)),
            "unknown user" => new(User("nobody", AuthProtocol.Sha256, SnmpDaemon.AuthPassword)),
            _ => new(User("open", AuthProtocol.Sha256, SnmpDaemon.AuthPassword), SecurityLevel.AuthNoPriv),
        };
        SnmpReading reading = SnmpReader.Read(daemon.Endpoint, access, North, Brisk);
        Problem problem = Assert.Single(reading.Problems);
        Assert.Equal((id, sentence, "north"), (problem.Id, problem.Sentence, problem.Target));
        Assert.Empty(reading.Controllers);
        Assert.DoesNotContain("not the password", problem.ToString());
    }

    [OtherProgramTheory("snmpd")]
    [InlineData("privacy")]
    [InlineData("community")]
    [InlineData("context")]
    public void What_is_met_with_silence_says_what_it_may_be(string what)
    {
        using var daemon = new SnmpDaemon();
        SnmpAccess access = what switch
        {
            "privacy" => SnmpDaemon.Access(AuthProtocol.Sha256, SecurityLevel.AuthPriv, priv: "not the password"),
            "context" => new UserAccess(new UserSecurity(SnmpDaemon.UserOf(AuthProtocol.Sha256), new PasswordKey(AuthProtocol.Sha256, SnmpDaemon.AuthPassword)), null, "harbour"),
            _ => new CommunityAccess("loud"),
        };
        Problem problem = Assert.Single(SnmpReader.Read(daemon.Endpoint, access, North, Impatient).Problems);
        Assert.True(problem.Id is ProblemId.SnmpSilent or ProblemId.SnmpWrongPrivacy, problem.ToString());
        Assert.Contains(what == "privacy" ? "privacy password" : what, problem.Advice);
    }

    // The first request after the restart is answered by an authentic report with the new boots; the session goes on by them.
    [OtherProgramTheory("snmpd")]
    [InlineData(null)]
    [InlineData(SecurityLevel.AuthNoPriv)]
    [InlineData(SecurityLevel.AuthPriv)]
    public void An_agent_that_restarts_in_the_middle_of_a_walk(SecurityLevel? level)
    {
        using var daemon = new SnmpDaemon(SnmpDaemon.Rows(3, 48));
        int requests = 0;
        using var relay = new LossyRelay(daemon.Endpoint, (isRequest, _) =>
        {
            if (isRequest && ++requests == 6)
            {
                daemon.Stop();
                daemon.Start();
            }

            return true;
        });
        SnmpAccess access = level is { } user ? SnmpDaemon.Access(AuthProtocol.Sha256, user) : new CommunityAccess(SnmpDaemon.Community);
        SnmpReading reading = SnmpReader.Read(relay.Endpoint, access, North, Brisk);
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal([48, 48, 48], reading.Controllers.Select(one => one.PortCount));
        Assert.True(requests > 8, $"{requests} requests");
    }

    [OtherProgramTheory("snmpd")]
    [InlineData(false)]
    [InlineData(true)]
    public void Over_a_line_that_loses_three_of_ten(bool asUser)
    {
        using var daemon = new SnmpDaemon(SnmpDaemon.Rows(2, 48));
        using var relay = new LossyRelay(daemon.Endpoint, LossyRelay.Losing(30));
        SnmpAccess access = asUser ? SnmpDaemon.Access(AuthProtocol.Sha256, SecurityLevel.AuthPriv) : new CommunityAccess(SnmpDaemon.Community);
        SnmpReading reading = SnmpReader.Read(relay.Endpoint, access, North, Brisk with { FirstWait = TimeSpan.FromMilliseconds(300), LongestWait = TimeSpan.FromSeconds(2) });
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal([48, 48], reading.Controllers.Select(one => one.PortCount));
        Assert.True(relay.Dropped * 10 > relay.Seen * 2, $"{relay.Dropped} of {relay.Seen} lost");
    }

    [OtherProgramTheory("snmpd")]
    [InlineData("snmpbulkwalk")]
    public void A_walk_that_its_own_program_saved_reads_the_same(string program)
    {
        using var daemon = new SnmpDaemon(SnmpDaemon.Rows(2, 24));
        using var folder = new ScratchFolder();
        // Without a log: on its first run on a machine the program tells of folders that it makes.
        (int exitCode, string printed) = OtherProgram.Run(program, folder.FullPath, "-v2c", "-c", SnmpDaemon.Community, "-Ln", "-On", "-m", "", daemon.Endpoint.ToString(), "1.3.6.1.2.1.105");
        Assert.True(exitCode == 0, printed);
        WalkResult walk = WalkFile.ReadText(printed, "north.walk");
        Assert.Empty(Told.Of(walk.Problems));
        SnmpReading saved = SnmpControllers.Read(walk.Rows, North);
        SnmpReading live = SnmpReader.Read(daemon.Endpoint, new CommunityAccess(SnmpDaemon.Community), North, Brisk);
        Assert.Equal(SyntheticWalk.Units(live), SyntheticWalk.Units(saved));
        Assert.Equal(SyntheticWalk.Ports(live).Length, saved.Controllers.Sum(one => one.PortCount));
        Assert.Equal(48, saved.Controllers.Sum(one => one.PortCount));
    }

    // snmpd has no table of PSE controllers of its own.
    [OtherProgramTheory("snmpd")]
    [InlineData(0)]
    public void An_agent_without_the_tables(int rows)
    {
        using var daemon = new SnmpDaemon(SnmpDaemon.Rows(rows, 0));
        SnmpReading reading = SnmpReader.Read(daemon.Endpoint, new CommunityAccess(SnmpDaemon.Community), North, Brisk);
        Assert.Equal([ProblemId.PowerTablesMissing], reading.Problems.Select(problem => problem.Id));
    }
}
