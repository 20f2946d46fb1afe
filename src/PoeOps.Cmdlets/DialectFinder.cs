using System.Collections.Concurrent;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Cmdlets;

/// <summary>Where dialects are looked for: a path as given, else the estate's own places, else the folder that ships with the module. Safe on several threads.</summary>
internal sealed class DialectFinder
{
    private readonly List<string> _places = [];
    private readonly ConcurrentDictionary<string, Lazy<DialectResult>> _found = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Looks in the module's folder, and before that in the estate's places.</summary>
    /// <param name="estate">The estate whose places come first, or null.</param>
    public DialectFinder(EstateMap? estate)
    {
        if (estate is not null)
        {
            _places.AddRange(estate.DialectPaths);
        }

        _places.Add(ShippedFolder);
    }

    /// <summary>The folder of the dialects that ship with the module.</summary>
    public static string ShippedFolder => Path.GetFullPath(Path.Combine(Path.GetDirectoryName(typeof(DialectFinder).Assembly.Location)!, "..", "dialects"));

    /// <summary>Finds a dialect by its name, or reads it where the name is a whole path; each is read once.</summary>
    public DialectResult Find(string name) =>
        _found.GetOrAdd(name, wanted => new Lazy<DialectResult>(() => Path.IsPathRooted(wanted) ? DialectFile.Read(wanted) : new DialectShelf(_places).Find(wanted))).Value;
}
