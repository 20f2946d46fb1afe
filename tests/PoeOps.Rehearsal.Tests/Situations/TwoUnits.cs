using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>Something happens to the jump host, its clock, its disk or its files, while two units of one switch are refreshed.</summary>
public abstract class TwoUnits : IDisposable
{
    /// <summary>Makes the night.</summary>
    protected TwoUnits(double speed = 600, params string[] mishaps)
    {
        Mishaps = mishaps;
        Night = new RehearsedRun(speed, mishaps);
        Night.Plan("mole-1", "1", "3.10.2");
        Night.Plan("mole-1", "2", "3.11.0");
    }

    internal RehearsedRun Night { get; }

    /// <summary>What is played at the devices beside.</summary>
    protected IReadOnlyList<string> Mishaps { get; }

    /// <inheritdoc/>
    public void Dispose()
    {
        Night.Dispose();
        GC.SuppressFinalize(this);
    }

    /// <summary>Lets something happen once, when a unit is first seen in a stage.</summary>
    protected void Once(Stage stage, Action happens)
    {
        bool happened = false;
        Night.Watcher = progress =>
        {
            if (progress.Stage == stage && !happened)
            {
                happened = true;
                happens();
            }
        };
    }

    /// <summary>Holds the journal against the approved one, and what was done against the rules.</summary>
    protected void Approve()
    {
        Approved.Check(Situation.NameOf(GetType()), Night.Told());
        Assert.Empty(Night.Audit());
    }
}
