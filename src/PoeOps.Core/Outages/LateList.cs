using System.Collections;

namespace PoeOps.Outages;

/// <summary>A list that is made when somebody looks into it for the first time.</summary>
internal sealed class LateList<T>(Func<IReadOnlyList<T>> make) : IReadOnlyList<T>
{
    private readonly Lazy<IReadOnlyList<T>> _made = new(make);

    /// <inheritdoc/>
    public int Count => _made.Value.Count;

    /// <inheritdoc/>
    public T this[int index] => _made.Value[index];

    /// <inheritdoc/>
    public IEnumerator<T> GetEnumerator() => _made.Value.GetEnumerator();

    /// <inheritdoc/>
    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}
