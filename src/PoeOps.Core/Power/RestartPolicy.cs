namespace PoeOps.Power;

/// <summary>What a port claims while a unit's loads come back.</summary>
public enum RestartPolicy
{
    /// <summary>The class figure from turn-on until the load has negotiated, then what it negotiated.</summary>
    ByClass,
    /// <summary>The class figure from turn-on until the load has booted, then what it was measured to draw.</summary>
    ByDraw,
    /// <summary>The limit that is set on the port, or the class figure where none is.</summary>
    ByLimit,
}
