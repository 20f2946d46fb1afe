using System.Net;

namespace PoeOps.Images;

/// <summary>The transfers of a server that run, each on a background thread of its own, and never more than it may. Safe to use from any thread.</summary>
internal sealed class RunningTransfers
{
    // Hundreds of them may run.
    private const int StackSize = 256 << 10;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);

    private readonly Dictionary<TftpSending, (Thread Thread, long Number)> _running = [];
    private readonly object _gate = new();
    private readonly int _most;
    private readonly Action<TftpTransfer> _ended;
    private long _begun;
    private bool _stopped;

    /// <summary>Makes a place for transfers.</summary>
    /// <param name="most">How many may run at one time.</param>
    /// <param name="ended">Told of each when it has ended, on its thread.</param>
    public RunningTransfers(int most, Action<TftpTransfer> ended)
    {
        _most = most;
        _ended = ended;
    }

    /// <summary>
    /// True when a request is a copy of one whose answer is on its way. A client that asks for something else before it answered has changed its
    /// mind, and its transfer gives way. One that has answered and asks again may have begun anew (many use one port for ever), or this is a copy
    /// that was long on its way: then it is answered anew, and the transfer gives way once the client takes that answer.
    /// </summary>
    public bool IsAnswered(IPEndPoint client, TftpPacket request)
    {
        lock (_gate)
        {
            List<TftpSending> fresh = [.. Of(client).Where(sending => !sending.IsUnderWay)];
            bool copy = fresh.Exists(sending => IsSame(sending.Request, request));
            foreach (TftpSending sending in copy ? [] : fresh)
            {
                sending.GiveWay();
            }

            return copy;
        }
    }

    /// <summary>Runs a transfer and disposes of it; false, and disposed of at once, when there are too many.</summary>
    public bool TryRun(TftpSending sending)
    {
        lock (_gate)
        {
            if (!_stopped && _running.Count < _most)
            {
                var thread = new Thread(() => Run(sending), StackSize) { IsBackground = true, Name = "PoeOps file transfer" };
                sending.Accepted += EarlierGiveWay;
                _running.Add(sending, (thread, _begun++));
                thread.Start();
                return true;
            }
        }

        sending.Dispose();
        return false;
    }

    /// <summary>Stops them all and waits a little for their ends.</summary>
    public void Stop()
    {
        List<Thread> threads;
        lock (_gate)
        {
            _stopped = true;
            threads = [.. _running.Values.Select(one => one.Thread)];
            foreach (TftpSending sending in _running.Keys)
            {
                sending.Stop();
            }
        }

        TimeSpan end = SystemClock.Instance.Elapsed + Patience;
        foreach (Thread thread in threads)
        {
            TimeSpan left = end - SystemClock.Instance.Elapsed;
            // Whoever is told of an end may stop the server from one of these threads.
            if (thread != Thread.CurrentThread && left > TimeSpan.Zero)
            {
                thread.Join(left);
            }
        }
    }

    private IEnumerable<TftpSending> Of(IPEndPoint client) => _running.Keys.Where(sending => sending.Client.Equals(client) && !sending.HasGivenWay);

    private static bool IsSame(TftpPacket one, TftpPacket other) => one.Write().SequenceEqual(other.Write());

    // Those that the client asked for later are what it wants: what it said last to this one may be looked at after its next request has come.
    private void EarlierGiveWay(TftpSending accepted)
    {
        lock (_gate)
        {
            foreach (TftpSending other in Of(accepted.Client).Where(other => _running[other].Number < _running[accepted].Number))
            {
                other.GiveWay();
            }
        }
    }

    private void Run(TftpSending sending)
    {
        using (sending)
        {
            TftpTransfer transfer = sending.Run();
            // Before anybody is told, so that the client may ask for the next file from the same port.
            lock (_gate)
            {
                _running.Remove(sending);
            }

            _ended(transfer);
        }
    }
}
