namespace PoeOps.Refresh;

/// <summary>A stage of a refresh, in order.</summary>
public enum Stage
{
    /// <summary>Everything that must hold before a unit starts.</summary>
    Gate,
    /// <summary>The unit fetches its image.</summary>
    Transfer,
    /// <summary>The old firmware is erased; loads are dark from its start.</summary>
    Erase,
    /// <summary>The new firmware is written.</summary>
    Program,
    /// <summary>The controller restarts.</summary>
    Reset,
    /// <summary>The version is read back over the line.</summary>
    Verify,
    /// <summary>Loads come back.</summary>
    Recover,
}

/// <summary>How a unit's refresh ended.</summary>
public enum StageOutcome
{
    /// <summary>It runs the new version and everything is back.</summary>
    Done,
    /// <summary>It runs the new version, but a load or a setting is not back; each is named.</summary>
    Degraded,
    /// <summary>A gate said no; nothing was sent that changes anything.</summary>
    Refused,
    /// <summary>The unit says that it failed, or still runs the old version and is healthy.</summary>
    Failed,
    /// <summary>Nobody knows; what was last seen is named.</summary>
    Uncertain,
    /// <summary>There was nothing to do, or somebody said no.</summary>
    Skipped,
    /// <summary>The process of the run was made to end while the unit was at work; it goes on by itself, and whoever goes on with the run asks it.</summary>
    Detached,
}
