using PoeOps.Snmp;

namespace PoeOps.Rehearsal.Agents;

/// <summary>The objects of an agent in order, and the answers to requests for them (RFC 3416 section 4.2).</summary>
internal sealed class AgentRows
{
    private const int NoSuchName = 2;
    private const int TooBig = 1;
    private const int LongestBinding = 40;

    private readonly VarBind[] _rows;

    /// <summary>Takes objects in any order; each name once.</summary>
    public AgentRows(IEnumerable<VarBind> rows) => _rows = [.. rows.OrderBy(row => row.Name)];

    /// <summary>How many objects there are.</summary>
    public int Count => _rows.Length;

    /// <summary>Answers a request.</summary>
    /// <param name="request">The request.</param>
    /// <param name="version">Its version: the first has errors where later ones have values that say so.</param>
    /// <param name="mostOctets">What the names and values of the answer may take; an answer by GETBULK is cut there, another is too big.</param>
    /// <returns>The answer; null where it was no request.</returns>
    public SnmpPdu? Answer(SnmpPdu request, SnmpVersion version, int mostOctets)
    {
        List<VarBind>? found = request.Kind switch
        {
            SnmpPduKind.GetRequest => [.. request.Bindings.Select(binding => Exact(binding.Name))],
            SnmpPduKind.GetNextRequest => [.. request.Bindings.Select(binding => After(binding.Name))],
            SnmpPduKind.GetBulkRequest when version != SnmpVersion.V1 => Bulk(request, mostOctets),
            _ => null,
        };
        if (found is null)
        {
            return null;
        }

        int missing = version == SnmpVersion.V1 ? found.FindIndex(one => one.Value.IsException || one.Value.Type == SnmpType.Counter64) : -1;
        var answer = new SnmpPdu(SnmpPduKind.Response, request.RequestId, found);
        return missing >= 0 ? answer with { Bindings = request.Bindings, ErrorStatus = NoSuchName, ErrorIndex = missing + 1 }
            : request.Kind != SnmpPduKind.GetBulkRequest && found.Sum(Octets) > mostOctets ? answer with { Bindings = [], ErrorStatus = TooBig }
            : answer;
    }

    private List<VarBind> Bulk(SnmpPdu request, int mostOctets)
    {
        int once = Math.Min(Math.Max(0, request.NonRepeaters), request.Bindings.Count);
        List<VarBind> found = [.. request.Bindings.Take(once).Select(binding => After(binding.Name))];
        List<Oid> names = [.. request.Bindings.Skip(once).Select(binding => binding.Name)];
        int octets = found.Sum(Octets);
        for (int repetition = 0; repetition < request.MaxRepetitions && names.Count > 0; repetition++)
        {
            bool ended = true;
            for (int i = 0; i < names.Count; i++)
            {
                VarBind next = After(names[i]);
                octets += Octets(next);
                if (octets > mostOctets)
                {
                    return found;
                }

                ended &= next.Value.Type == SnmpType.EndOfMibView;
                names[i] = next.Name;
                found.Add(next);
            }

            if (ended)
            {
                break;
            }
        }

        return found;
    }

    private VarBind Exact(Oid name) =>
        Place(name) is >= 0 and var at ? _rows[at] : new VarBind(name, SnmpValue.Exception(SnmpType.NoSuchObject));

    private VarBind After(Oid name)
    {
        int at = Place(name);
        int next = at >= 0 ? at + 1 : ~at;
        return next < _rows.Length ? _rows[next] : new VarBind(name, SnmpValue.Exception(SnmpType.EndOfMibView));
    }

    private int Place(Oid name)
    {
        int low = 0, high = _rows.Length - 1;
        while (low <= high)
        {
            int middle = (low + high) / 2;
            int order = _rows[middle].Name.CompareTo(name);
            if (order == 0)
            {
                return middle;
            }

            (low, high) = order < 0 ? (middle + 1, high) : (low, middle - 1);
        }

        return ~low;
    }

    // More than it takes, as a name of SNMP rarely has more than twenty numbers.
    private static int Octets(VarBind binding) => LongestBinding + binding.Value.OctetCount;
}
