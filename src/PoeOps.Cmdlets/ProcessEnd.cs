using System.Reflection;

namespace PoeOps.Cmdlets;

/// <summary>
/// Calls somebody when this process is made to end: its window is closed, the user logged off, the machine shut down, the process asked to go. There is
/// no time left but for a few lines. A process that is killed outright is told nothing.
/// </summary>
internal sealed class ProcessEnd : IDisposable
{
    // SIGHUP and SIGTERM by the numbers of System.Runtime.InteropServices.PosixSignal; on Windows they stand for closing, logging off and shutting down.
    private static readonly (int Number, string Because)[] Signals = [(-1, "its window was closed"), (-4, "it was asked to end")];

    private readonly Action<string> _tell;
    private readonly List<IDisposable> _registrations = [];

    /// <summary>Begins to watch.</summary>
    /// <param name="tell">Told why, in a few words, on another thread; must not throw.</param>
    public ProcessEnd(Action<string> tell)
    {
        _tell = tell;
        AppDomain.CurrentDomain.ProcessExit += OnExit;
        foreach ((int number, string because) in Signals)
        {
            Register(number, because);
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        AppDomain.CurrentDomain.ProcessExit -= OnExit;
        _registrations.ForEach(one => one.Dispose());
        _registrations.Clear();
    }

    // The type is younger than the standard that this library is built for; a runtime without it tells of its exit alone.
    private void Register(int number, string because)
    {
        Type? registration = Type.GetType("System.Runtime.InteropServices.PosixSignalRegistration, System.Runtime.InteropServices");
        MethodInfo? create = registration?.GetMethod("Create", BindingFlags.Public | BindingFlags.Static);
        if (create is null)
        {
            return;
        }

        ParameterInfo[] parameters = create.GetParameters();
        Action<object> told = _ => _tell(because);
        var handler = Delegate.CreateDelegate(parameters[1].ParameterType, told.Target, told.Method);
        if (create.Invoke(null, [Enum.ToObject(parameters[0].ParameterType, number), handler]) is IDisposable one)
        {
            _registrations.Add(one);
        }
    }

    private void OnExit(object? sender, EventArgs e) => _tell("it came to its end");
}
