using System.Net;
using System.Net.Sockets;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>Puts together what a run needs of an estate: ways to its switches, its roles, its spellings of versions, the image server's place.</summary>
public sealed class EstateRun
{
    private const int TftpPort = 69;

    private readonly EstateMap _estate;
    private readonly SwitchLinks _links;

    /// <summary>Takes an estate and the ways to its switches.</summary>
    public EstateRun(EstateMap estate, SwitchLinks links)
    {
        _estate = estate;
        _links = links;
    }

    /// <summary>Opens a way to the switch of a planned unit.</summary>
    /// <exception cref="PoeOpsException">The estate has no such switch, or it cannot be reached.</exception>
    public IUnitLink Open(PlannedUnit unit) => _links.Open(SwitchOf(unit));

    /// <summary>Says why the switch of a planned unit must not be reached.</summary>
    /// <returns><see cref="ProblemId.ClearTextRefused"/>; null where it may be, or where the estate has no such switch, which <see cref="Open"/> tells.</returns>
    public Problem? Refusal(PlannedUnit unit) => _estate.FindSwitch(unit.Switch) is { } place ? _links.ClearText.Refusal(place) : null;

    /// <summary>The warning of the switches that are reached in clear for some planned units; null where none is.</summary>
    public string? ClearTextWarning(IEnumerable<PlannedUnit> units) =>
        _links.ClearText.Warning(units.Select(unit => _estate.FindSwitch(unit.Switch)).Where(place => place is not null).Select(place => place!));

    /// <summary>
    /// This machine's folder of locks, where every run on it looks: the system's place for the data of all users, and where there is none such that
    /// everybody may write to, the temporary folder.
    /// </summary>
    public static string CommonLockFolder => Environment.OSVersion.Platform == PlatformID.Win32NT
        ? Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.CommonApplicationData), "PoeOps")
        : Path.GetTempPath();

    /// <summary>What the lock of a unit's switch is called: its console, which is the same in whichever estate and under whichever name it stands.</summary>
    public string LockName(PlannedUnit unit)
    {
        Switch place = SwitchOf(unit);
        return FormattableString.Invariant($"{place.Address}-{place.TcpPort}");
    }

    /// <summary>Adds what the estate knows to what was read.</summary>
    public SwitchReading Describe(PlannedUnit unit, SwitchReading reading)
    {
        List<Problem> problems = [.. reading.Problems];
        return new SwitchReading(_estate.Apply(SwitchOf(unit), reading.Controllers, problems), problems);
    }

    /// <summary>Reads a firmware text in the spellings of the unit's family.</summary>
    public ControllerVersion? ReadVersion(PlannedUnit unit, string? text) => _links.DialectOf(SwitchOf(unit)).Firmware.Read(text);

    /// <summary>Where the image server listens, and how units reach it.</summary>
    /// <param name="host">The host that the units are told; null for the estate's, else the local address that reaches the switches.</param>
    /// <param name="port">The UDP port; null for 69, or in a rehearsal any that is free.</param>
    /// <param name="plan">The plan, whose first switch shows the way.</param>
    public ImageServing Serving(string? host, int? port, Plan plan)
    {
        IPAddress local = LocalAddress(plan);
        string told = host ?? _estate.FileServer ?? local.ToString();
        IPAddress bind = _estate.Rehearsal is not null ? IPAddress.Loopback : IPAddress.TryParse(told, out IPAddress? named) && IsOurs(named) ? named : local;
        return new ImageServing(bind, port ?? (_estate.Rehearsal is null ? TftpPort : 0), told, unit => AddressOf(SwitchOf(unit)));
    }

    private Switch SwitchOf(PlannedUnit unit) => _estate.FindSwitch(unit.Switch) ?? throw new PoeOpsException(new Problem(
        ProblemId.NotInEstate, $"The estate '{_estate.Name}' has no switch '{unit.Switch}'.", "Make the plan again with New-PsePlan.") { Target = unit.Switch });

    private IPAddress LocalAddress(Plan plan)
    {
        Switch? first = plan.Units.Count == 0 ? null : _estate.FindSwitch(plan.Units[0].Switch);
        if (first is null)
        {
            return IPAddress.Loopback;
        }

        try
        {
            return HostAddress.Reaching(AddressOf(first));
        }
        catch (PoeOpsException exception) when (exception.Problem.Id == ProblemId.TftpCannotListen)
        {
            throw new PoeOpsException(
                new Problem(ProblemId.TftpCannotListen, $"No local address reaches the switch '{first.Name}' at {first.Address}.", "Name the address that units reach this machine at, with -FileServer."), exception);
        }
    }

    private static bool IsOurs(IPAddress address)
    {
        using Socket socket = new(address.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
        try
        {
            socket.Bind(new IPEndPoint(address, 0));
            return true;
        }
        catch (SocketException exception) when (exception.SocketErrorCode == SocketError.AddressNotAvailable)
        {
            return false;
        }
    }

    private static IPAddress AddressOf(Switch place) => HostAddress.Of(place.Address) ?? throw new PoeOpsException(
        new Problem(ProblemId.ConnectFailed, $"Nobody knows the name '{place.Address}' of the switch '{place.Name}'.", "Correct the address in the estate."));
}
