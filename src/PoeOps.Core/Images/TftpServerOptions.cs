using System.Net;
using System.Net.Sockets;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Where a file server listens.</summary>
public sealed record TftpServerOptions
{
    /// <summary>
    /// The local address, IPv4 or IPv6; loopback unless it is said. <see cref="HostAddress.Reaching"/> finds the one that reaches a switch.
    /// </summary>
    public IPAddress Bind { get; init; } = IPAddress.Loopback;

    /// <summary>The UDP port: 69 is TFTP's own; 0 takes any that is free.</summary>
    public int Port { get; init; }

    /// <summary>The addresses that are served at all; empty for any. What is offered may be for one of them only.</summary>
    public IReadOnlyCollection<IPAddress> Clients { get; init; } = [];

    /// <summary>The largest file that is held in memory, in octets, 32 MiB unless it is said; a larger one is read piece by piece, and each piece is checked again.</summary>
    public int MostHeldBytes { get; init; } = ServedFile.UsualHeldBytes;

    /// <summary>Transfers at one time; a request beyond it is refused.</summary>
    public int MostTransfers { get; init; } = 256;

    /// <summary>Says when transfers began and how long they took. How long to wait for an answer is the machine's time: the network is real.</summary>
    public Clock Clock { get; init; } = SystemClock.Instance;

    /// <summary>Why a port cannot be had, and what to do (<see cref="ProblemId.TftpCannotListen"/>).</summary>
    /// <param name="local">The address and port.</param>
    /// <param name="exception">What the system said.</param>
    public static Problem CannotListen(IPEndPoint local, SocketException exception)
    {
        string advice = exception.SocketErrorCode switch
        {
            SocketError.AccessDenied when local.Port < 1024 => "Ports below 1024 may need an administrator's rights: run as one, or choose a port above, if the devices can be told one.",
            SocketError.AccessDenied => "Another program holds that port for itself, or a rule of this machine forbids it: choose another port.",
            SocketError.AddressAlreadyInUse => "Another file server runs on that port: stop it, or choose another port.",
            SocketError.AddressNotAvailable => "Choose an address of this machine.",
            _ => "Choose an address of this machine, and another port.",
        };
        return new Problem(ProblemId.TftpCannotListen, $"The file server cannot listen at {local}: {Excerpt.Line(exception.Message).TrimEnd('.')}.", advice);
    }
}
