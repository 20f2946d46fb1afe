using System.Reflection;
using System.Runtime.InteropServices;

namespace PoeOps.Core.Tests.Architecture;

/// <summary>The built module as metadata: nothing of it is run, and PowerShell need not be there.</summary>
internal sealed class ModuleMetadata : IDisposable
{
    private readonly MetadataLoadContext _context;

    public ModuleMetadata()
    {
        IEnumerable<string> paths =
        [
            .. Directory.EnumerateFiles(Repository.Path("module", "bin"), "*.dll"),
            .. Directory.EnumerateFiles(RuntimeEnvironment.GetRuntimeDirectory(), "*.dll"),
            Repository.Recorded("PowerShellStandard"),
        ];

        // A folder that comes first wins: the module's own copy of a name that the runtime has as well.
        _context = new MetadataLoadContext(new PathAssemblyResolver(paths.DistinctBy(Path.GetFileName)));
        Assembly assembly = _context.LoadFromAssemblyPath(Repository.Path("module", "bin", "PoeOps.Cmdlets.dll"));
        Cmdlets =
        [
            .. assembly.GetTypes()
                .Where(type => CmdletMetadata.AttributesOf(type, "CmdletAttribute").Any())
                .Select(type => new CmdletMetadata(type))
                .OrderBy(cmdlet => cmdlet.Name, StringComparer.Ordinal),
        ];
    }

    /// <summary>The classes with a [Cmdlet], in the order of their names.</summary>
    public IReadOnlyList<CmdletMetadata> Cmdlets { get; }

    public void Dispose() => _context.Dispose();
}
