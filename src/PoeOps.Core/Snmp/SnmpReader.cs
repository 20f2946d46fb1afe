using System.Net;
using System.Net.Sockets;
using PoeOps.Files;

namespace PoeOps.Snmp;

/// <summary>Reads the standard tables of one agent, and nothing else of it.</summary>
public static class SnmpReader
{
    private static readonly TimeSpan LookUpTime = TimeSpan.FromSeconds(10);

    /// <summary>The tables that an agent is asked for, each behind the root that tells whether the agent has any of it.</summary>
    private static readonly (Oid Root, IReadOnlyList<Oid> Columns)[] Tables =
    [
        (PowerEthernetTables.Rfc3621, PowerEthernetTables.Columns(PowerEthernetTables.Rfc3621)),
        (PowerEthernetTables.Ieee8023, PowerEthernetTables.Columns(PowerEthernetTables.Ieee8023)),
        (Oid.Parse("1.3.6.1.2.1.47.1"), EntityTables.Columns),
        (Oid.Parse("1.3.6.1.2.1.2"), InterfaceTables.Columns),
        (Oid.Parse("1.0.8802.1.1.2.1"), NeighbourTables.Columns),
        (Oid.Parse("1.3.111.2.802.1.1.13.1"), NeighbourTables.ColumnsV2),
    ];

    /// <summary>Reads an agent.</summary>
    /// <param name="agent">Its address and port.</param>
    /// <param name="access">As whom it is asked.</param>
    /// <param name="context">The switch, and what else is known.</param>
    /// <param name="times">How long it is waited for; null for the usual times.</param>
    /// <param name="cancel">Ends the reading.</param>
    /// <returns>Its controllers and what is wrong; an agent that cannot be read is a problem with no controllers. Nothing throws but the cancelling.</returns>
    public static SnmpReading Read(IPEndPoint agent, SnmpAccess access, SnmpContext context, SnmpTimes? times = null, CancellationToken cancel = default)
    {
        List<Problem> problems = [];
        SnmpRows? rows = Try(context, problems, () =>
        {
            using var session = new SnmpSession(agent, access, times, cancel) { Heard = context.Heard is { } told ? line => told($"{context.Switch} {line}") : null };
            return Walk(session, problems);
        });
        if (rows is null)
        {
            return new SnmpReading([], problems);
        }

        SnmpReading reading = SnmpControllers.Read(rows, context);
        Problem[] ofWalk = [.. problems.Select(problem => problem with { Target = context.Switch })];
        return new SnmpReading([.. reading.Controllers.Select(one => one with { ReadingProblems = one.ReadingProblems + ofWalk.Length })], [.. ofWalk, .. reading.Problems]);
    }

    /// <summary>Reads an agent whose host is a name or an address.</summary>
    /// <param name="host">The name, or an IPv4 or IPv6 address.</param>
    /// <param name="port">Its UDP port.</param>
    /// <param name="access">As whom it is asked.</param>
    /// <param name="context">The switch, and what else is known.</param>
    /// <param name="times">How long it is waited for; null for the usual times.</param>
    /// <param name="cancel">Ends the reading.</param>
    /// <returns>As the other.</returns>
    public static SnmpReading Read(string host, int port, SnmpAccess access, SnmpContext context, SnmpTimes? times = null, CancellationToken cancel = default)
    {
        List<Problem> problems = [];
        return Try(context, problems, () => LookUp(host)) is { } address
            ? Read(new IPEndPoint(address, port), access, context, times, cancel)
            : new SnmpReading([], problems);
    }

    // One request tells which tables there are at all; an agent of version 1 answers it for all or for none, and is asked for each.
    private static SnmpRows Walk(SnmpSession session, List<Problem> problems)
    {
        SnmpRows rows = new();
        var walk = new SnmpWalk(session, rows, problems);
        SnmpPdu first = session.GetNext([.. Tables.Select(table => table.Root)]);
        for (int i = 0; i < Tables.Length; i++)
        {
            bool may = first.ErrorStatus != 0 || first.Bindings.Count <= i || first.Bindings[i].Name.IsWithin(Tables[i].Root);
            if (may)
            {
                walk.Columns(Tables[i].Columns, NeighbourTables.IsTimeMarked);
            }
        }

        return rows;
    }

    private static T? Try<T>(SnmpContext context, List<Problem> problems, Func<T> work)
        where T : class
    {
        try
        {
            return work();
        }
        catch (PoeOpsException exception)
        {
            problems.Add(exception.Problem.Target is null ? exception.Problem with { Target = context.Switch } : exception.Problem);
            return null;
        }
    }

    private static IPAddress LookUp(string host)
    {
        if (IPAddress.TryParse(host, out IPAddress? address))
        {
            return address;
        }

        try
        {
            Task<IPAddress[]> found = Dns.GetHostAddressesAsync(host);
            IPAddress[] all = found.Wait(LookUpTime) ? found.Result : [];
            return all.FirstOrDefault(one => one.AddressFamily is AddressFamily.InterNetwork or AddressFamily.InterNetworkV6) ?? throw NoSuchHost(host, null);
        }
        catch (AggregateException exception) when (exception.InnerException is SocketException or ArgumentException)
        {
            throw NoSuchHost(host, exception.InnerException);
        }
    }

    private static PoeOpsException NoSuchHost(string host, Exception? cause) =>
        new(new Problem(ProblemId.ConnectFailed, $"Nobody knows the host '{Excerpt.Of(host)}'.", "Check the name, or give its address."), cause);
}
