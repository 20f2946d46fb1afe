namespace PoeOps.Refresh;

/// <summary>A wish to stop. It is obeyed between units: a unit in progress is watched to its end.</summary>
public sealed class StopRequest
{
    private readonly string? _file;
    private readonly Func<string?> _also;
    private volatile bool _asked;

    /// <summary>Makes a request that nobody has made yet.</summary>
    /// <param name="file">A file whose existence is the wish, or null.</param>
    /// <param name="also">Gives another reason to stop in a few words, or null while there is none; looked at between units. Null for no such reason.</param>
    public StopRequest(string? file, Func<string?>? also = null)
    {
        _file = file;
        _also = also ?? (() => null);
    }

    /// <summary>Why the run is to stop, in a few words; null where it is not.</summary>
    public string? Reason => _asked ? "a stop was asked for" : _file is not null && File.Exists(_file) ? $"the stop file '{_file}' is there" : _also();

    /// <summary>Asks to stop. May be called from any thread.</summary>
    public void Ask() => _asked = true;
}
