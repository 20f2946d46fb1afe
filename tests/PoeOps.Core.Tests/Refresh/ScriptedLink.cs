using PoeOps.Estate;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A switch with one unit that does as it is told, and writes down everything that is asked of it.</summary>
internal sealed class ScriptedLink : IUnitLink
{
    private readonly Queue<LinkEvent> _said = new();
    private readonly Queue<Action> _before = new();

    /// <summary>What was asked, in order: Read, Busy?, Start, Reopen, PutBack, Dispose.</summary>
    public List<string> Calls { get; } = [];

    /// <summary>What the switch says of itself.</summary>
    public List<Controller> Units { get; set; } = [Sample.Unit()];

    /// <summary>What of it cannot be read.</summary>
    public List<Problem> Problems { get; } = [];

    /// <summary>What a read does before it answers; the oldest first, each once.</summary>
    public Queue<Action> OnRead { get; } = new();

    /// <summary>What the device says of being busy; the oldest first, then nothing.</summary>
    public Queue<string> Busy { get; } = new();

    /// <summary>Runs when the command comes.</summary>
    public Action<RefreshOrder> OnStart { get; set; } = _ => { };

    /// <summary>Runs when a setting is to be put back.</summary>
    public Action<Port, string> OnPutBack { get; set; } = (_, _) => { };

    /// <summary>What is said once nothing else is left to say.</summary>
    public LinkEvent Last { get; set; } = new(LinkEventKind.Lost, "gone");

    public TimeSpan Waited => TimeSpan.Zero;

    public string? TranscriptPath => null;

    /// <summary>Says something later.</summary>
    public ScriptedLink Say(LinkEventKind kind, string text, Stage? stage = null, int? percent = null, Action? before = null)
    {
        _said.Enqueue(new LinkEvent(kind, text) { Stage = stage, Percent = percent, Because = kind == LinkEventKind.Failed ? "it was told to fail" : null });
        _before.Enqueue(before ?? (() => { }));
        return this;
    }

    public SwitchReading Read()
    {
        Calls.Add("Read");
        if (OnRead.Count > 0)
        {
            OnRead.Dequeue()();
        }

        return new SwitchReading([.. Units], [.. Problems]);
    }

    public string? AskBusy()
    {
        Calls.Add("Busy?");
        return Busy.Count > 0 ? Busy.Dequeue() : null;
    }

    public void Start(RefreshOrder order)
    {
        Calls.Add($"Start {order.Unit} {order.File}");
        OnStart(order);
    }

    public LinkEvent Next(Deadline until)
    {
        if (_said.Count == 0)
        {
            return Last;
        }

        _before.Dequeue()();
        return _said.Dequeue();
    }

    public void Reopen() => Calls.Add("Reopen");

    public void PutBack(Port before, string property)
    {
        Calls.Add($"PutBack {before.Name} {property}");
        OnPutBack(before, property);
    }

    public (TimeSpan Deadline, TimeSpan Stall) Limits(Stage stage) => (TimeSpan.FromSeconds(300), TimeSpan.FromSeconds(60));

    public void Dispose() => Calls.Add("Dispose");

    /// <summary>Fails as a link does.</summary>
    public static void Fail(ProblemId id) => throw new PoeOpsException(new Problem(id, $"The device does not answer ({id}).", "Look at it."));
}
