using System.Globalization;
using System.Management.Automation;
using System.Reflection;
using PoeOps.Estate;

namespace PoeOps.Cmdlets;

/// <summary>Open SSH sessions that the user gave: each switch takes the one to its address and port. They are never closed here.</summary>
internal sealed class GivenSessions
{
    private readonly IReadOnlyList<PSObject> _sessions;

    /// <summary>Takes the sessions.</summary>
    public GivenSessions(IReadOnlyList<PSObject> sessions) => _sessions = sessions;

    /// <summary>The session to a switch.</summary>
    /// <param name="place">The switch.</param>
    /// <param name="mayOpen">True where one can be opened in its place.</param>
    /// <returns>The session; null where one is to be opened.</returns>
    /// <exception cref="PoeOpsException">None can be used and none be opened (<see cref="ProblemId.SshSessionUnusable"/>).</exception>
    public object? Find(Switch place, bool mayOpen)
    {
        if (_sessions.FirstOrDefault(one => one.BaseObject.GetType().GetField("Session") is null) is { } stranger)
        {
            throw Unusable(place, $"A session that was given is none: it is a {stranger.BaseObject.GetType()}.");
        }

        PSObject[] fitting = [.. _sessions.Where(one => string.Equals(one.Properties["Host"]?.Value as string, place.Address, StringComparison.OrdinalIgnoreCase) && (Port(one) ?? place.TcpPort) == place.TcpPort)];
        object? living = fitting.Select(one => one.BaseObject).FirstOrDefault(IsConnected);
        if (living is not null || mayOpen || _sessions.Count == 0)
        {
            return living;
        }

        string where = $"{place.Address} port {place.TcpPort.ToString(CultureInfo.InvariantCulture)}";
        throw Unusable(place, fitting.Length > 0 ? $"The SSH session to {where} that was given is no longer connected." : $"None of the {_sessions.Count.ToString(CultureInfo.InvariantCulture)} SSH sessions that were given is one to {where}.");
    }

    /// <summary>True while a session says that it lives.</summary>
    public static bool IsConnected(object session)
    {
        try
        {
            return session.GetType().GetProperty("Connected")?.GetValue(session) is true;
        }
        catch (TargetInvocationException exception) when (exception.InnerException is ObjectDisposedException)
        {
            return false;
        }
    }

    // One that was removed does not say any more where it led to.
    private static int? Port(PSObject session)
    {
        try
        {
            object? client = session.BaseObject.GetType().GetField("Session")?.GetValue(session.BaseObject);
            object? info = client?.GetType().GetProperty("ConnectionInfo")?.GetValue(client);
            return info?.GetType().GetProperty("Port")?.GetValue(info) as int?;
        }
        catch (TargetInvocationException exception) when (exception.InnerException is ObjectDisposedException)
        {
            return null;
        }
    }

    private static PoeOpsException Unusable(Switch place, string sentence) => new(new Problem(
        ProblemId.SshSessionUnusable, sentence, "Open a session to the address and port that the estate has, or give a credential so that one can be opened.") { Target = place.Name });
}
