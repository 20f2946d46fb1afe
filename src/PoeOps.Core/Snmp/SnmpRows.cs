namespace PoeOps.Snmp;

/// <summary>Objects with their values, as a walk or a saved walk gave them, found by column and index.</summary>
public sealed class SnmpRows
{
    private readonly Dictionary<Oid, SnmpValue> _values = [];
    private Oid[]? _sorted;

    /// <summary>How many objects there are.</summary>
    public int Count => _values.Count;

    /// <summary>Adds an object. What stands there already stays.</summary>
    /// <returns>False where the object is there with another value.</returns>
    public bool Add(VarBind binding)
    {
        if (!_values.TryGetValue(binding.Name, out SnmpValue? known))
        {
            _values.Add(binding.Name, binding.Value);
            _sorted = null;
            return true;
        }

        // A walk's last line says the last name once more, and that nothing comes after it.
        if (known.IsException)
        {
            _values[binding.Name] = binding.Value;
        }

        return known.IsException || binding.Value.IsException || known.IsSameAs(binding.Value);
    }

    /// <summary>The value of an object; null where there is none, or the agent said that there is none.</summary>
    public SnmpValue? Find(Oid name) => _values.TryGetValue(name, out SnmpValue? value) && !value.IsException ? value : null;

    /// <summary>True where any object is within a subtree.</summary>
    public bool HasWithin(Oid root) => Within(root).Any();

    /// <summary>The objects of a subtree in the order of their names.</summary>
    public IEnumerable<VarBind> Within(Oid root)
    {
        if (_sorted is null)
        {
            _sorted = [.. _values.Keys];
            Array.Sort(_sorted);
        }

        int at = Array.BinarySearch(_sorted, root);
        for (int i = at < 0 ? ~at : at; i < _sorted.Length && _sorted[i].IsWithin(root); i++)
        {
            if (!_values[_sorted[i]].IsException)
            {
                yield return new VarBind(_sorted[i], _values[_sorted[i]]);
            }
        }
    }
}
