namespace PoeOps.Rehearsal.Devices;

/// <summary>What all devices of a rehearsal share.</summary>
/// <param name="Clock">The rehearsal's clock.</param>
/// <param name="Log">Where they write what they do.</param>
/// <param name="Mishaps">What goes wrong.</param>
/// <param name="Ended">Cancelled when the rehearsal ends.</param>
internal sealed record Scene(Clock Clock, DeviceLog Log, MishapPlay Mishaps, CancellationToken Ended);
