using PoeOps.Estate;

namespace PoeOps.Planning;

/// <summary>
/// Moves what is planned out of busy hours without a further window and without a later end: each item by itself to the calmest time that its window has
/// free, and two of a window into each other's place, until nothing gets better.
/// </summary>
internal sealed class CalmHours
{
    private const int MostRounds = 6;
    private const int MostItems = 2000;

    private readonly PlanTask _task;
    private readonly PlanDraft _draft;
    private readonly Disturbance _disturbance;
    private readonly long _end;

    private CalmHours(PlanTask task, PlanDraft draft, Disturbance disturbance)
    {
        _task = task;
        _draft = draft;
        _disturbance = disturbance;
        _end = draft.End;
    }

    /// <summary>Improves a draft; where no site of it has busy hours, every time is as good as another.</summary>
    public static void Improve(PlanTask task, PlanDraft draft, EstateMap estate)
    {
        bool isBusy = task.Items.Select(item => item.Outage.Site).Distinct(StringComparer.OrdinalIgnoreCase).Any(site => estate.FindSite(site) is { BusyHours.Count: > 0 });
        if (isBusy && task.Items.Length <= MostItems)
        {
            new CalmHours(task, draft, new Disturbance(task, estate)).Run();
        }
    }

    private void Run()
    {
        for (int round = 0; round < MostRounds; round++)
        {
            bool better = false;
            foreach (int item in _draft.InOrder())
            {
                better |= Move(item);
                better |= Swap(item);
            }

            if (!better)
            {
                return;
            }
        }
    }

    // Those that follow it in its window give way as far as they must.
    private bool Move(int item)
    {
        Place old = _draft[item]!.Value;
        int[] followers = [.. _draft.In(old.Window).Where(other => _draft[other]!.Value.Start > old.Start).OrderBy(other => _draft[other]!.Value.Start)];
        Place[] places = [.. followers.Select(other => _draft[other]!.Value)];
        double cost = _disturbance.Of(item, old.Start) + followers.Sum(other => _disturbance.Of(other, _draft[other]!.Value.Start));
        foreach (long time in Times(item, old).Where(time => time != old.Start))
        {
            Take(item, followers);
            if (Put(item, old, time, followers, places) is { } other && other < cost - 1e-9)
            {
                return true;
            }

            Take(item, followers);
            _draft.Add(item, old);
            for (int i = 0; i < followers.Length; i++)
            {
                _draft.Add(followers[i], places[i]);
            }
        }

        return false;
    }

    private void Take(int item, int[] followers)
    {
        foreach (int one in followers.Append(item).Where(one => _draft[one] is not null))
        {
            _draft.Remove(one);
        }
    }

    // What it all weighs then; null where it does not fit.
    private double? Put(int item, Place old, long time, int[] followers, Place[] places)
    {
        double cost = 0;
        for (int i = -1; i < followers.Length; i++)
        {
            int one = i < 0 ? item : followers[i];
            if (_draft.EarliestIn(one, old.Window, i < 0 ? time : places[i].Start) is not { } place || place.Lane != old.Lane || place.Start + _task.Items[one].Length > _end)
            {
                return null;
            }

            _draft.Add(one, place);
            cost += _disturbance.Of(one, place.Start);
        }

        return cost;
    }

    // The starts at which the sum can change its direction: where an outage begins or ends with a busy time, and the ends of what is free.
    private List<long> Times(int item, Place old)
    {
        PlanWindow window = _task.Windows[old.Window];
        long last = window.Ends - _task.Items[item].Length;
        IEnumerable<long> besideOthers = _draft.In(old.Window).SelectMany(other => new[] { _draft.EndOf(other), _draft[other]!.Value.Start - _task.Items[item].Length });
        return
        [
            .. _disturbance.Edges(item, window.Opens, window.Ends).Concat(besideOthers).Append(window.Opens).Append(last)
                .Where(time => time >= window.Opens && time <= last).Distinct().OrderBy(time => time),
        ];
    }

    private bool Swap(int item)
    {
        Place place = _draft[item]!.Value;
        foreach (int other in _draft.In(place.Window).Where(other => other > item).ToList())
        {
            Place otherPlace = _draft[other]!.Value;
            double cost = _disturbance.Of(item, place.Start) + _disturbance.Of(other, otherPlace.Start);
            _draft.Remove(item);
            _draft.Remove(other);
            if (Exchange(item, place, other, otherPlace, cost))
            {
                return true;
            }

            _draft.Add(item, place);
            _draft.Add(other, otherPlace);
        }

        return false;
    }

    private bool Exchange(int item, Place place, int other, Place otherPlace, double cost)
    {
        (int first, int then) = place.Start < otherPlace.Start ? (other, item) : (item, other);
        long from = Math.Min(place.Start, otherPlace.Start);
        if (_draft.EarliestIn(first, place.Window, from) is not { } one)
        {
            return false;
        }

        _draft.Add(first, one);
        long until = Math.Max(place.Start, otherPlace.Start) - Math.Max(0, _task.Items[first].Length - _task.Items[then].Length);
        if (_draft.EarliestIn(then, place.Window, Math.Max(from, until)) is { } two && two.Start + _task.Items[then].Length <= _end && one.Start + _task.Items[first].Length <= _end
            && _disturbance.Of(first, one.Start) + _disturbance.Of(then, two.Start) < cost - 1e-9)
        {
            _draft.Add(then, two);
            return true;
        }

        _draft.Remove(first);
        return false;
    }
}
