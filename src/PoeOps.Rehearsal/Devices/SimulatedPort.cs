using PoeOps.Estate;
using PoeOps.Power;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal.Devices;

/// <summary>A port of a simulated unit. Its unit's lock guards it.</summary>
internal sealed class SimulatedPort(WorldPort world, LoadTimes times)
{
    /// <summary>The port's number within the unit.</summary>
    public int Number => world.Number;

    /// <summary>The load; null where nothing hangs on the port.</summary>
    public WorldLoad? Load => world.Load;

    /// <summary>How long the load takes.</summary>
    public LoadTimes Times => times;

    /// <summary>Whether the port may feed a PD.</summary>
    public bool AdminEnabled { get; set; } = world.AdminEnabled;

    /// <summary>Who keeps power when it is short.</summary>
    public PortPriority Priority { get; set; } = world.Priority;

    /// <summary>The most that the port may be set aside, watts; null for no limit.</summary>
    public decimal? LimitWatts { get; set; } = world.LimitWatts;

    /// <summary>True for a port that feeds nothing because of a fault.</summary>
    public bool Fault { get; set; } = world.Fault;

    /// <summary>True while the port feeds its load.</summary>
    public bool Delivering { get; private set; }

    /// <summary>True while the load does its work, and says its name to its neighbour.</summary>
    public bool Serving { get; private set; }

    /// <summary>What is set aside for the port, watts.</summary>
    public decimal AllocatedWatts { get; private set; }

    /// <summary>True where a load is there to be fed and nothing speaks against it.</summary>
    public bool WantsPower => Load is not null && AdminEnabled && !Fault && !Delivering;

    /// <summary>What the load asks for at turn-on, watts.</summary>
    public decimal ClassWatts => Load is null ? 0 : PdClass.FigureWattsOf(Load.PdClass);

    /// <summary>What the load asks for once it has negotiated, watts.</summary>
    public decimal SettledWatts => Load?.NegotiatedWatts ?? ClassWatts;

    /// <summary>Starts the port as it is after months of quiet: fed, negotiated, serving.</summary>
    public void Settle()
    {
        if (WantsPower)
        {
            Grant();
            AllocatedWatts = SettledWatts;
            Serving = true;
        }
    }

    /// <summary>Feeds the load; it starts up.</summary>
    public void Grant()
    {
        Delivering = true;
        AllocatedWatts = ClassWatts;
    }

    /// <summary>The load has negotiated.</summary>
    public void Negotiate() => AllocatedWatts = SettledWatts;

    /// <summary>The load does its work again.</summary>
    public void Serve() => Serving = true;

    /// <summary>Stops feeding the load.</summary>
    public void GoDark()
    {
        Delivering = false;
        Serving = false;
        AllocatedWatts = 0;
    }

    /// <summary>What a console can say of the port now.</summary>
    public PortView View() => new()
    {
        Number = Number,
        AdminEnabled = AdminEnabled,
        Status = !AdminEnabled ? DetectionStatus.Disabled : Fault ? DetectionStatus.Fault : Delivering ? DetectionStatus.DeliveringPower : DetectionStatus.Searching,
        PdClass = Delivering ? Load?.PdClass : null,
        Priority = Priority,
        AllocatedWatts = AllocatedWatts,
        DrawWatts = Delivering ? world.DrawWatts : 0,
        LimitWatts = LimitWatts,
        Neighbour = Serving ? world.Neighbour : string.Empty,
        Description = world.Description,
    };
}

/// <summary>How long a load takes after power comes, seconds of the rehearsal's clock.</summary>
/// <param name="NegotiateSeconds">Until it has negotiated.</param>
/// <param name="RestartSeconds">Until it does its work.</param>
internal sealed record LoadTimes(double NegotiateSeconds, double RestartSeconds);

/// <summary>What a console can say of a port.</summary>
internal sealed record PortView
{
    /// <summary>The port's number within the unit.</summary>
    public int Number { get; init; }

    /// <summary>Whether the port may feed a PD.</summary>
    public bool AdminEnabled { get; init; }

    /// <summary>What the port is doing.</summary>
    public DetectionStatus Status { get; init; }

    /// <summary>The class of the PD; null while nothing is fed.</summary>
    public int? PdClass { get; init; }

    /// <summary>Who keeps power when it is short.</summary>
    public PortPriority Priority { get; init; }

    /// <summary>What is set aside, watts.</summary>
    public decimal AllocatedWatts { get; init; }

    /// <summary>What is drawn, watts.</summary>
    public decimal DrawWatts { get; init; }

    /// <summary>The limit, watts; null for none.</summary>
    public decimal? LimitWatts { get; init; }

    /// <summary>The name the load gives of itself; empty while it gives none.</summary>
    public string Neighbour { get; init; } = string.Empty;

    /// <summary>What somebody wrote beside the port.</summary>
    public string Description { get; init; } = string.Empty;
}
