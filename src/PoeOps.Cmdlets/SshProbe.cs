using System.Collections;
using System.Globalization;
using System.Reflection;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>A host key as a server showed it.</summary>
/// <param name="Key">The key, with its SHA-256.</param>
/// <param name="Name">The algorithm that it was shown under; an RSA key has several.</param>
/// <param name="Md5">The fingerprint by which a session is held to it.</param>
internal sealed record SeenKey(HostKey Key, string Name, string Md5);

/// <summary>
/// Looks at a server's host key over a connection of its own, which ends before anybody logs in. It uses the library that the user's SSH module
/// brought, by its names, since no version of it can be shipped beside another.
/// </summary>
internal sealed class SshProbe
{
    private readonly Type _client;

    /// <summary>Takes the library's client.</summary>
    public SshProbe(Type client) => _client = client;

    /// <summary>True for a library whose shells do not block where nothing has come yet, as all before 2024 do not.</summary>
    public bool ReadsNothing => _client.Assembly.GetName().Version is { Major: < 2024 };

    /// <summary>Asks a server for its key; where one was accepted before, for one of the same kind, since a server may have several.</summary>
    /// <param name="place">The switch.</param>
    /// <param name="known">The key that was accepted before, or null.</param>
    /// <param name="most">How long to wait at the most.</param>
    /// <exception cref="PoeOpsException">The server showed none (<see cref="ProblemId.ConnectFailed"/>).</exception>
    public SeenKey Look(Switch place, HostKey? known, TimeSpan most)
    {
        Listener listener = Connect(place, known, most, out Exception? trouble);
        if (listener.Seen is null && known is not null && trouble?.GetType().Name == "SshConnectionException")
        {
            // It may have no key of that kind any more: what it has instead is shown.
            listener = Connect(place, null, most, out trouble);
        }

        return listener.Seen ?? throw new PoeOpsException(new Problem(
            ProblemId.ConnectFailed,
            $"The SSH server at {place.Address} port {place.TcpPort.ToString(CultureInfo.InvariantCulture)} shows no host key: {(trouble is null ? $"it did not answer within {most.TotalSeconds.ToString("0", CultureInfo.InvariantCulture)} s." : OneSentence(trouble.Message))}",
            "Check address, port and kind of link in the estate, and that the switch can be reached.") { Target = place.Name });
    }

    /// <summary>A library's message as the end of a sentence: one line, one full stop.</summary>
    public static string OneSentence(string message) => string.Join(" ", message.Split(['\r', '\n'], StringSplitOptions.RemoveEmptyEntries)).TrimEnd('.') + ".";

    /// <summary>Ends a session; may take as long as the peer lets it.</summary>
    /// <param name="session">A session of the user's SSH module.</param>
    public static void Disconnect(object session)
    {
        try
        {
            object? client = session.GetType().GetField("Session")?.GetValue(session);
            _ = client?.GetType().GetMethod("Disconnect", Type.EmptyTypes)?.Invoke(client, null);
        }
        catch (TargetInvocationException exception)
        {
            // It was lost or closed before, and that is what was wanted.
            _ = exception;
        }
    }

    private Listener Connect(Switch place, HostKey? known, TimeSpan most, out Exception? trouble)
    {
        Listener listener = new(place);
        object client = Activator.CreateInstance(_client, place.Address, place.TcpPort, "x", string.Empty)!;
        object info = Property(client, "ConnectionInfo")!;
        info.GetType().GetProperty("Timeout")!.SetValue(info, most);
        if (known is not null)
        {
            KeepOnly(Property(info, "HostKeyAlgorithms")!, known.Algorithm);
        }

        EventInfo received = _client.GetEvent("HostKeyReceived")!;
        received.AddEventHandler(client, Delegate.CreateDelegate(received.EventHandlerType!, listener, typeof(Listener).GetMethod(nameof(Listener.Hear))!));
        MethodInfo connect = _client.GetMethod("Connect", Type.EmptyTypes)!;
        Task<AggregateException?> work = Apart(() => connect.Invoke(client, null)).ContinueWith<AggregateException?>(done => done.Exception, TaskScheduler.Default);
        _ = work.Wait(most);
        trouble = work.IsCompleted ? Cause(work.Result) : null;
        _ = Apart(((IDisposable)client).Dispose);
        return listener;
    }

    private static Exception? Cause(AggregateException? exception)
    {
        Exception? cause = exception?.GetBaseException();
        return cause is TargetInvocationException { InnerException: { } inner } ? inner : cause;
    }

    private static Task Apart(Action work) => Task.Factory.StartNew(work, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);

    // An RSA key goes by the names of its signatures (RFC 8332) as well; certificates are keys of their own.
    private static void KeepOnly(object algorithms, string kind)
    {
        MethodInfo remove = algorithms.GetType().GetMethod("Remove", [typeof(string)])!;
        var names = ((IEnumerable)Property(algorithms, "Keys")!).Cast<string>().ToList();
        bool Fits(string name) => name == kind || (kind == "ssh-rsa" && name is "rsa-sha2-256" or "rsa-sha2-512");
        if (names.Any(Fits))
        {
            names.Where(name => !Fits(name)).ToList().ForEach(name => remove.Invoke(algorithms, [name]));
        }
    }

    private static object? Property(object owner, string name) => owner.GetType().GetProperty(name)!.GetValue(owner);

    private sealed class Listener(Switch place)
    {
        public SeenKey? Seen { get; private set; }

        // On a thread of the library's; whatever it throws ends the connection, which is to end anyway.
        public void Hear(object sender, EventArgs e)
        {
            _ = sender;
            byte[] md5 = (byte[])Property(e, "FingerPrint")!;
            Seen = new SeenKey(
                HostKey.Of(place.Address, place.TcpPort, (byte[])Property(e, "HostKey")!), (string)Property(e, "HostKeyName")!,
                string.Join(":", md5.Select(one => one.ToString("x", CultureInfo.InvariantCulture))));
            e.GetType().GetProperty("CanTrust")!.SetValue(e, false);
        }
    }
}
