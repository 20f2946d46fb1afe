using System.Management.Automation;
using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Cmdlets;

/// <summary>What the cmdlets do alike that write something for people from a plan: the plan from the pipeline or from its file.</summary>
public abstract class PlanCommand : PoeCommand
{
    /// <summary>The parameter set with a plan's file.</summary>
    private protected const string FileSet = "Plan";

    /// <summary>The parameter set with a plan from the pipeline.</summary>
    private protected const string ObjectSet = "InputObject";

    /// <summary>The plan file (<c>*.plan.json</c>).</summary>
    [Parameter(Mandatory = true, ParameterSetName = FileSet)]
    [Alias("PlanPath")]
    public string Plan { get; set; } = string.Empty;

    /// <summary>A plan as <c>New-PsePlan</c> gives it.</summary>
    [Parameter(Mandatory = true, ParameterSetName = ObjectSet, ValueFromPipeline = true)]
    public Plan? InputObject { get; set; }

    /// <summary>Replaces a file that stands there.</summary>
    [Parameter]
    public SwitchParameter Force { get; set; }

    /// <summary>The plan that was given.</summary>
    private protected Plan GivenPlan() => ParameterSetName == ObjectSet ? InputObject! : ReadPlan(Plan);

    /// <summary>Reads a plan file, or ends the pipeline with its problems.</summary>
    private protected Plan ReadPlan(string path)
    {
        PlanResult read = PlanFile.Read(FilePath(path));
        Plan plan = Demand(read.Plan, read.Problems);
        TellPlan(plan, FilePath(path));
        return plan;
    }

    /// <summary>Writes a file as the user allows it, never over the estate of its plan, and gives it.</summary>
    /// <param name="plan">The plan that it is made from.</param>
    /// <param name="path">The file.</param>
    /// <param name="text">Its text.</param>
    /// <param name="what">What it is.</param>
    private protected void WriteFile(Plan plan, string path, string text, string what)
    {
        Problem? wrong = PlanFile.Check(plan, path, Force);
        if (wrong is not null && !IsWhatIf)
        {
            Fail(wrong);
        }

        if (ShouldProcess(path, $"Write {what}"))
        {
            Run(() =>
            {
                WholeFile.Write(path, text, Force);
                return true;
            });
            TellWritten(what, path);
            WriteObject(InvokeProvider.Item.Get([path], force: true, literalPath: true), enumerateCollection: true);
        }
        else if (wrong is not null)
        {
            WriteProblem(wrong);
        }
    }
}
