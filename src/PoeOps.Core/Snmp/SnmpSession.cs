using System.Globalization;
using System.Net;

namespace PoeOps.Snmp;

/// <summary>
/// Asks one agent, one request after the other: GET, GETNEXT and GETBULK, and nothing that changes anything. A request is sent again while there is no answer, with
/// longer and longer waits; answers to anything else are dropped. Everything has a deadline. Not for two threads at once.
/// </summary>
public sealed class SnmpSession : IDisposable
{
    private const int MostAskedAgain = 6;

    private readonly IPEndPoint _agent;
    private readonly SnmpTimes _times;
    private readonly SnmpSpeech _speech;
    private readonly SnmpSocket _socket;
    private readonly Deadline _end;
    private readonly CancellationToken _cancel;
    private readonly byte[] _incoming = new byte[65536];
    private bool _answered;

    /// <summary>Prepares to ask; nothing is sent yet.</summary>
    /// <param name="agent">The agent's address and port, IPv4 or IPv6.</param>
    /// <param name="access">As whom it is asked.</param>
    /// <param name="times">How long it is waited for; null for the usual times. The time for all begins now.</param>
    /// <param name="cancel">Ends the waiting.</param>
    /// <exception cref="PoeOpsException">There is no way to that address (<see cref="ProblemId.ConnectFailed"/>).</exception>
    public SnmpSession(IPEndPoint agent, SnmpAccess access, SnmpTimes? times = null, CancellationToken cancel = default)
    {
        _agent = agent;
        _times = times ?? new SnmpTimes();
        _speech = access.Begin();
        _cancel = cancel;
        _end = SystemClock.Instance.DeadlineIn(_times.Deadline);
        _socket = new SnmpSocket(agent);
    }

    /// <summary>The version of the messages.</summary>
    public SnmpVersion Version => _speech.Version;

    /// <summary>Told each datagram as a line (time, direction, octets, names and values, no secrets) on the thread that asks; null where nobody listens.</summary>
    public Action<string>? Heard { get; init; }

    /// <summary>How many requests were sent, also those that were sent again.</summary>
    public int Sent { get; private set; }

    /// <summary>How many datagrams answered something that nobody asked any more; they were dropped.</summary>
    public int Strays => _speech.Strays;

    /// <summary>Asks for objects by their names.</summary>
    /// <returns>The answer, which may be an error of the agent's (<see cref="SnmpPdu.ErrorStatus"/>).</returns>
    /// <exception cref="PoeOpsException">No answer came, or the agent says why it will not give one; see the ids that begin with Snmp.</exception>
    public SnmpPdu Get(params Oid[] names) => Ask(SnmpPduKind.GetRequest, names, 0);

    /// <summary>Asks for the objects after these names.</summary>
    /// <returns>As <see cref="Get"/>.</returns>
    /// <exception cref="PoeOpsException">As <see cref="Get"/>.</exception>
    public SnmpPdu GetNext(params Oid[] names) => Ask(SnmpPduKind.GetNextRequest, names, 0);

    /// <summary>Asks for several objects after each of these names. Where answers get lost, fewer are asked for: large ones get lost first.</summary>
    /// <param name="repetitions">How many after each name, 1 or more.</param>
    /// <param name="names">The names.</param>
    /// <returns>As <see cref="Get"/>.</returns>
    /// <exception cref="PoeOpsException">As <see cref="Get"/>.</exception>
    public SnmpPdu GetBulk(int repetitions, params Oid[] names) => Ask(SnmpPduKind.GetBulkRequest, names, repetitions);

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();

    private SnmpPdu Ask(SnmpPduKind kind, Oid[] names, int repetitions)
    {
        int id = SnmpIds.Next();
        int tries = _answered ? _times.Tries : _times.FirstTries;
        int again = 0;
        VarBind[] bindings = [.. names.Select(name => new VarBind(name))];
        _speech.Forget();
        for (int attempt = 0; attempt < tries; attempt++)
        {
            int asked = kind == SnmpPduKind.GetBulkRequest ? Math.Max(1, repetitions >> Math.Min(attempt, 30)) : 0;
            Snmp.Heard heard = Try(new SnmpPdu(kind, id, bindings) { MaxRepetitions = asked }, _times.Wait(attempt), out SnmpPdu? answer);
            if (answer is not null)
            {
                _answered = true;
                return answer;
            }

            // What the agent said first is no lost answer, so that the try does not count; but an agent may not keep us busy so.
            if (heard == Snmp.Heard.AskAgain && again++ < MostAskedAgain)
            {
                attempt--;
            }
        }

        throw new PoeOpsException(Silent(tries));
    }

    private Snmp.Heard Try(SnmpPdu request, TimeSpan wait, out SnmpPdu? answer)
    {
        CheckTime();
        byte[] datagram = _speech.Write(request);
        Heard?.Invoke(SnmpTalk.Asked(request, datagram.Length));
        _socket.Send(datagram);
        Sent++;
        TimeSpan until = SystemClock.Instance.Elapsed + wait;
        answer = null;
        while (SystemClock.Instance.Elapsed is var now && now < until)
        {
            CheckTime();
            int count = _socket.Receive(_incoming, until - now);
            if (count > 0 && Hear(count, request.RequestId, out answer) is var heard && heard != Snmp.Heard.Nothing)
            {
                return heard;
            }
        }

        return Snmp.Heard.Nothing;
    }

    private Snmp.Heard Hear(int count, int requestId, out SnmpPdu? answer)
    {
        Snmp.Heard heard = _speech.Hear(_incoming, count, requestId, out answer);
        Heard?.Invoke(answer is null ? SnmpTalk.Other(heard, count) : SnmpTalk.Answered(answer, count));
        return heard;
    }

    private void CheckTime()
    {
        _cancel.ThrowIfCancellationRequested();
        if (_end.HasPassed)
        {
            throw new PoeOpsException(new Problem(
                ProblemId.SnmpSilent, $"The agent {_agent} was not read to its end within {_times.Deadline}.", "Allow more time, or find out why it answers so slowly."));
        }
    }

    private Problem Silent(int tries)
    {
        if (_speech.WhyNoAnswer(_agent.ToString()) is { } known)
        {
            return known;
        }

        string times = tries.ToString(CultureInfo.InvariantCulture);
        string strays = _speech.Strays > 0 ? $"; {_speech.Strays.ToString(CultureInfo.InvariantCulture)} answers to other questions were dropped" : string.Empty;
        string what = _answered ? $"stopped answering: the last request was sent {times} times" : _socket.Refused ? $"does not answer: nothing listens at that port ({times} tries)" : $"does not answer in {times} tries";
        string advice = _speech.Version == SnmpVersion.V3
            ? "Check the address and what is between; an agent may also not listen for SNMPv3."
            : "Check the address, the version and the community: agents keep silent where a community is wrong.";
        return new Problem(ProblemId.SnmpSilent, $"The agent {_agent} {what}{strays}.", advice);
    }
}
