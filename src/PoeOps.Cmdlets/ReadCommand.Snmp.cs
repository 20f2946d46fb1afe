using System.Management.Automation;
using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Rehearsal;
using PoeOps.Snmp;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>How a switch is read.</summary>
public enum ReadLink
{
    /// <summary>Over its console, by its dialect.</summary>
    Console,
    /// <summary>By the standard tables of its SNMP agent, without a dialect.</summary>
    Snmp,
}

/// <summary>The part of reading that speaks SNMP, or reads what a walk saved.</summary>
public abstract partial class ReadCommand
{
    private const int SnmpAtOnce = 16;

    /// <summary>
    /// How the switches are read: Console, Snmp, or both, which are put together: power and ports by SNMP, firmware and the rest by the console. Without it each is read
    /// over the link that the estate gives it.
    /// </summary>
    [Parameter(ParameterSetName = "Estate")]
    [Parameter(ParameterSetName = "Address")]
    [ValidateNotNullOrEmpty]
    public ReadLink[] Link { get; set; } = [];

    /// <summary>Switches without an estate, which are read by SNMP: a host or an address each, with a colon and the UDP port behind it where that is not 161.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Address")]
    [ValidateNotNullOrEmpty]
    public string[] Address { get; set; } = [];

    /// <summary>Walks that were saved by <c>snmpbulkwalk -On</c>; wildcards are allowed. Each is a switch, named like its file.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Walk")]
    [ValidateNotNullOrEmpty]
    public string[] Walk { get; set; } = [];

    /// <summary>The community for SNMPv1 and v2c. It travels in clear, which is warned about.</summary>
    [Parameter(ParameterSetName = "Estate")]
    [Parameter(ParameterSetName = "Address")]
    [ValidateNotNullOrEmpty]
    public string Community { get; set; } = string.Empty;

    /// <summary>
    /// User and passwords for SNMPv3, one or two credentials: the first is the user with its authentication password, the second holds the privacy password (its user name is
    /// not looked at). A rehearsal brings its own.
    /// </summary>
    [Parameter(ParameterSetName = "Estate")]
    [Parameter(ParameterSetName = "Address")]
    [ValidateCount(1, 2)]
    [ValidateNotNull]
    public PSCredential[] SnmpCredential { get; set; } = [];

    /// <summary>The hash by which the user is authenticated. Md5 and Sha1 are weak, which is warned about.</summary>
    [Parameter(ParameterSetName = "Estate")]
    [Parameter(ParameterSetName = "Address")]
    public AuthProtocol AuthProtocol { get; set; } = AuthProtocol.Sha256;

    /// <summary>How messages of SNMPv3 are protected; the best that the credentials allow where it is left out. Encrypted is by AES-128.</summary>
    [Parameter(ParameterSetName = "Estate")]
    [Parameter(ParameterSetName = "Address")]
    public SecurityLevel? SecurityLevel { get; set; }

    /// <summary>The context of SNMPv3 whose objects are read; the default one where it is left out.</summary>
    [Parameter(ParameterSetName = "Estate")]
    [Parameter(ParameterSetName = "Address")]
    [ValidateNotNull]
    public string Context { get; set; } = string.Empty;

    /// <summary>The version for a community: V2c, or V1 for agents that know no other.</summary>
    [Parameter(ParameterSetName = "Estate")]
    [Parameter(ParameterSetName = "Address")]
    public SnmpVersion SnmpVersion { get; set; } = SnmpVersion.V2c;

    private void ReadAddresses()
    {
        if (Link.Contains(ReadLink.Console))
        {
            Fail(new Problem(ProblemId.LinkNotSupported, "A console is read by its dialect, which an address alone does not name.", "Put the switch into an estate, or leave Console out of -Link."));
        }

        SnmpAccess access = Access(null);
        using PipelinePump pump = new();
        List<SnmpPlace> places = [.. Address.Select(PlaceOf).Where(place => place is not null).Select(place => place! with { Context = place!.Context with { Heard = HeardBy(pump) } })];
        foreach (SnmpPlace place in places)
        {
            WriteVerbose($"Asking the agent at {place.Host}, UDP port {place.Port}.");
        }

        GiveEach(SnmpSweep.Read(places, access, ThrottleLimit ?? SnmpAtOnce, null, Stopped).Select(one => new SwitchReading(one.Controllers, one.Problems)), pump);
    }

    private SnmpPlace? PlaceOf(string address)
    {
        try
        {
            Switch place = ConsoleAddress.Parse(address, LinkKind.Snmp);
            return new SnmpPlace(place.Address, place.SnmpPort, new SnmpContext { Switch = place.Name, ReadUtc = SystemClock.Instance.UtcNow });
        }
        catch (PoeOpsException exception)
        {
            WriteProblem(exception.Problem, address);
            return null;
        }
    }

    private void ReadWalks()
    {
        EstateMap? estate = Estate.Length == 0 ? null : EstateAt(Estate);
        foreach (string file in Walk.SelectMany(FilePaths))
        {
            Stopped.ThrowIfCancellationRequested();
            WalkResult walk = WalkFile.Read(file);
            WriteProblems(walk.Problems);
            TellRead("the walk", file, Counted(walk.Rows.Count, "row"));
            string name = SwitchName(file);
            Switch? place = estate?.FindSwitch(name);
            SnmpContext context = SnmpAsking.ContextOf(place ?? new Switch { Name = name }, SystemClock.Instance) with { Source = file };
            if (walk.Rows.Count > 0)
            {
                SnmpReading reading = SnmpControllers.Read(walk.Rows, context);
                reading = reading with { Controllers = [.. reading.Controllers.Select(one => one with { ReadingProblems = one.ReadingProblems + walk.Problems.Count })] };
                List<Problem> problems = [.. reading.Problems];
                _ = Give(new SwitchReading(place is null ? reading.Controllers : estate!.Apply(place, reading.Controllers, problems), problems));
            }
        }
    }

    private bool WantsSnmp(Switch place) => Link.Length == 0 ? place.Link == LinkKind.Snmp : Link.Contains(ReadLink.Snmp);

    // A switch that has no console and is not to be asked by SNMP is told so, as one that cannot be reached.
    private bool WantsConsole(Switch place) => !WantsSnmp(place) || (place.Link != LinkKind.Snmp && Link.Contains(ReadLink.Console));

    private string Ways(Switch place) => !WantsSnmp(place) ? string.Empty : WantsConsole(place) ? " by SNMP and over its console" : " by SNMP";

    // A user comes before a community, and both before what a rehearsal brings.
    private SnmpAccess Access(EstateMap? estate)
    {
        SnmpAccess? access = SnmpCredential.Length > 0 ? Run(() => UserOf(SnmpCredential))
            : Community.Length > 0 ? Run(() => new CommunityAccess(Community, SnmpVersion))
            : estate?.Rehearsal is not null && RunningRehearsal.Find(estate.SourcePath) is { } rehearsal ? Run(() => RehearsalUser(rehearsal)) : null;
        if (access is null)
        {
            Fail(new Problem(ProblemId.SnmpSecretUnusable, "SNMP wants a community or a user, and none was given.", "Give -SnmpCredential for SNMPv3, or -Community for SNMPv2c."));
        }

        foreach (string warning in access!.Warnings)
        {
            WriteWarning(warning);
        }

        return access;
    }

    private UserAccess UserOf(PSCredential[] credentials)
    {
        string auth = credentials[0].GetNetworkCredential().Password;
        PasswordKey? authKey = auth.Length == 0 && SecurityLevel is null or Snmp.SecurityLevel.NoAuthNoPriv ? null : new PasswordKey(AuthProtocol, auth);
        if (authKey is null && credentials.Length > 1 && SecurityLevel != Snmp.SecurityLevel.NoAuthNoPriv)
        {
            // Whoever gives a password for privacy does not want to be heard in clear.
            throw new PoeOpsException(new Problem(
                ProblemId.SnmpSecretUnusable, "A password for privacy was given and none for authentication, without which SNMPv3 has no privacy.",
                "Give both passwords with -SnmpCredential, or -SecurityLevel NoAuthNoPriv to ask in clear."));
        }

        PasswordKey? privKey = authKey is not null && credentials.Length > 1 ? new PasswordKey(AuthProtocol, credentials[1].GetNetworkCredential().Password) : null;
        return new UserAccess(new UserSecurity(credentials[0].UserName, authKey, privKey), SecurityLevel, Context);
    }

    private static UserAccess RehearsalUser(RunningRehearsal rehearsal) =>
        new(new UserSecurity(rehearsal.SnmpUser, new PasswordKey(AuthProtocol.Sha256, rehearsal.SnmpAuthPassword), new PasswordKey(AuthProtocol.Sha256, rehearsal.SnmpPrivPassword)));
}
