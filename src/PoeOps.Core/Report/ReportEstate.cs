using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>The estate that a plan was made from, as it stands beside it now: for what the clocks of its sites show, and for whether it is a rehearsal's.</summary>
internal sealed class ReportEstate
{
    private readonly EstateMap? _estate;
    private readonly Dictionary<string, SiteTime?> _clocks = new(StringComparer.OrdinalIgnoreCase);

    private ReportEstate(EstateMap? estate, string caution)
    {
        _estate = estate;
        Caution = caution;
    }

    /// <summary>What should be known before its local times are relied on; empty where nothing.</summary>
    public string Caution { get; }

    /// <summary>How fast the clock of a rehearsal goes; null for a real estate, and where it cannot be read.</summary>
    public double? RehearsalSpeed => _estate?.Rehearsal?.Speed;

    /// <summary>The estate of a plan; one that cannot be read knows no local time, and says so.</summary>
    /// <param name="plan">The plan; null where there is none.</param>
    public static ReportEstate Of(Plan? plan)
    {
        if (plan is null)
        {
            return new ReportEstate(null, string.Empty);
        }

        EstateResult read = CheckedEstate.Read(plan.EstatePath);
        string name = $"The estate file '{Excerpt.Of(Path.GetFileName(plan.EstatePath))}'";
        if (read.Estate is null)
        {
            return new ReportEstate(null, $"{name} of the plan could not be read, so that the local times of sites are not said: {read.Problems[0].Sentence}");
        }

        bool isSame = string.Equals(PlanDigest.OfFile(plan.EstatePath), plan.EstateSha256, StringComparison.OrdinalIgnoreCase);
        return new ReportEstate(read.Estate, isSame ? string.Empty : $"{name} has changed since the plan was made; local times are by the zones that it names now.");
    }

    /// <summary>The zone of a site; empty where it is not known.</summary>
    /// <param name="site">The site.</param>
    public string ZoneOf(string site) => _estate?.FindSite(site)?.Zone ?? string.Empty;

    /// <summary>What the clocks of a site show, and what they are ahead of UTC; null where its zone is not known.</summary>
    /// <param name="site">The site.</param>
    /// <param name="utc">The instant, UTC.</param>
    public (DateTime Local, TimeSpan Offset)? At(string site, DateTime utc)
    {
        if (!_clocks.TryGetValue(site, out SiteTime? clocks))
        {
            clocks = _estate?.FindSite(site) is { } found && Zones.Find(found.Zone) is not null ? SiteTime.Of(found) : null;
            _clocks.Add(site, clocks);
        }

        return clocks?.At(utc);
    }
}
