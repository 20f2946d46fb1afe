using System.Management.Automation;
using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Planning;

namespace PoeOps.Cmdlets.Commands;

// The part of the cmdlet that plans what a night left.
public sealed partial class NewPsePlanCommand
{
    /// <summary>
    /// The journal of a night that stopped. What its plan had and the night did not do is planned again, in the approved windows where they are still to come
    /// and the rules allow it. What was accepted in that plan holds again. A unit that did not end well is an obstacle, until it is read again and comes in
    /// through the pipeline: units that come in take the place of what the plan knew of them.
    /// </summary>
    [Parameter(Mandatory = true, ParameterSetName = "AfterJournal")]
    public string AfterJournal { get; set; } = string.Empty;

    /// <summary>The plan that was run, where it does not lie any more where the journal says.</summary>
    [Parameter(ParameterSetName = "AfterJournal")]
    [ValidateNotNullOrEmpty]
    public string? ApprovedPlan { get; set; }

    // Fresh readings take the place of what the plan knew; units that the plan did not have come in beside.
    private PlanOptions LeftOver()
    {
        ReplanResult result = JournalReplan.Find(FilePath(AfterJournal), ApprovedPlan is null ? null : FilePath(ApprovedPlan), _estate, Options);
        double approved = Demand(result.Plan, result.Problems).Units.Select(unit => unit.ReserveSeconds).DefaultIfEmpty(Reserve.TotalSeconds).Max();
        _estate = result.Estate;
        HashSet<UnitId> read = [.. _outages.Select(outage => outage.UnitId)];
        _outages.AddRange(result.Left.Where(unit => !read.Contains(unit.UnitId)));
        return result.Options with
        {
            Lanes = Lanes ?? result.Options.Lanes,
            Reserve = Confidence is { } confidence ? ReserveFor(_outages, confidence) : MyInvocation.BoundParameters.ContainsKey(nameof(Reserve)) ? Reserve : TimeSpan.FromSeconds(approved),
            Obstacles = [.. result.NotWell.Where(one => !read.Contains(one.UnitId))],
        };
    }
}
