using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>Every gate is looked at, and nothing is changed.</summary>
public sealed class WhatIfGateTests : GateBench
{
    [Fact]
    public void WhatIf_looks_at_every_gate_and_touches_nothing()
    {
        Night.WhatIf = true;
        IReadOnlyList<string> before = Listing();
        MemoryRecord record = new();
        RefreshRun run = new(Night.Options(record) with { Serving = new ImageServing(System.Net.IPAddress.Loopback, 0, "127.0.0.1", _ => throw new InvalidOperationException("nothing is served")) });

        UnitResult result = run.Next()!;

        Assert.Null(run.Next());
        Assert.Equal((StageOutcome.Skipped, ProblemId.NotConfirmed, "Every gate is open; nothing was done."), (result.Outcome, result.ProblemId, result.Reason));
        Assert.Single(Night.Asked);
        Assert.Equal(["Busy?", "Read", "Dispose"], Night.Link.Calls);
        Assert.Equal(before, Listing());
        Assert.Equal("RunBegan Gate Gate Gate Gate Gate Gate Gate Gate Gate Gate Gate Passed RunEnded", string.Join(" ", record.Entries.Select(entry => entry.Kind)));
    }

    [Fact]
    public void WhatIf_names_everything_that_stands_in_the_way()
    {
        Night.WhatIf = true;
        Night.Units[0] = Night.Units[0] with { WindowOpensUtc = HandClock.Start.AddMinutes(1), LifeSafetyAcceptedBy = null };
        Night.Link.Units = [Sample.Unit() with { Serial = "T9" }];

        UnitResult result = new RefreshRun(Night.Options(new MemoryRecord())).Next()!;

        Assert.Equal((StageOutcome.Refused, ProblemId.UnitChanged), (result.Outcome, result.ProblemId));
        Assert.StartsWith("Its serial is 'T9', and the plan was made for 'S2'. Its window opens 2026-12-01 22:31 UTC, and it is 2026-12-01 22:30 UTC. 1 life-safety load goes dark.", result.Reason, StringComparison.Ordinal);
        Assert.Empty(Night.Asked);
    }

    [Fact]
    public void WhatIf_in_the_afternoon_says_that_the_night_would_do()
    {
        Night.WhatIf = true;
        Night.Units[0] = Night.Units[0] with { WindowOpensUtc = HandClock.Start.AddMinutes(1) };

        UnitResult result = new RefreshRun(Night.Options(new MemoryRecord())).Next()!;

        Assert.Equal((StageOutcome.Skipped, ProblemId.WindowClosed), (result.Outcome, result.ProblemId));
        Assert.Equal("Its window opens 2026-12-01 22:31 UTC, and it is 2026-12-01 22:30 UTC. Every other gate is open.", result.Reason);
    }
}
