namespace PoeOps.Estate;

/// <summary>What a PSE port is doing (RFC 3621, pethPsePortDetectionStatus).</summary>
public enum DetectionStatus
{
    /// <summary>The port is switched off.</summary>
    Disabled = 1,
    /// <summary>The port looks for a PD.</summary>
    Searching = 2,
    /// <summary>The port feeds a PD.</summary>
    DeliveringPower = 3,
    /// <summary>The port found a fault.</summary>
    Fault = 4,
    /// <summary>The port is in its test mode.</summary>
    Test = 5,
    /// <summary>The port is idle because of an error condition.</summary>
    OtherFault = 6,
}

/// <summary>Who keeps power when it is short (RFC 3621, pethPsePortPowerPriority): critical first.</summary>
public enum PortPriority
{
    /// <summary>Loses power last.</summary>
    Critical = 1,
    /// <summary>Loses power after the low ones.</summary>
    High = 2,
    /// <summary>Loses power first.</summary>
    Low = 3,
}

/// <summary>How a PSE controller is.</summary>
public enum ControllerCondition
{
    /// <summary>The device said something that the dialect gives no meaning to, or nothing; see the condition's text.</summary>
    Unknown,
    /// <summary>It works.</summary>
    Healthy,
    /// <summary>It has a fault.</summary>
    Faulted,
    /// <summary>A refresh of it is under way.</summary>
    Refreshing,
    /// <summary>A slot or unit is listed without a controller.</summary>
    Absent,
}
