using System.Reflection;

namespace PoeOps.Core.Tests.Architecture;

/// <summary>The files of the clone that the tests run in.</summary>
internal static class Repository
{
    /// <summary>The folder that holds PoeOps.psd1, found upward from where the tests run.</summary>
    public static string Root { get; } = FindRoot();

    /// <summary>A path inside the clone.</summary>
    public static string Path(params string[] parts) => System.IO.Path.Combine([Root, .. parts]);

    /// <summary>The value that the project file recorded under a name.</summary>
    public static string Recorded(string name) =>
        typeof(Repository).Assembly.GetCustomAttributes<AssemblyMetadataAttribute>().Single(entry => entry.Key == name).Value!;

    /// <summary>Every C# file under a folder of the clone, without what the build wrote.</summary>
    public static IReadOnlyList<SourceFile> Sources(string folder) =>
        [.. Directory.EnumerateFiles(Path(folder), "*.cs", SearchOption.AllDirectories)
            .Select(path => (Full: path, Relative: System.IO.Path.GetRelativePath(Root, path).Replace('\\', '/')))
            .Where(file => !file.Relative.Split('/').Any(part => part is "bin" or "obj"))
            .OrderBy(file => file.Relative, StringComparer.Ordinal)
            .Select(file => new SourceFile(file.Relative, File.ReadAllText(file.Full)))];

    private static string FindRoot()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(System.IO.Path.Combine(folder.FullName, "PoeOps.psd1")))
            {
                return folder.FullName;
            }
        }

        throw new DirectoryNotFoundException($"No PoeOps.psd1 in '{AppContext.BaseDirectory}' or above it.");
    }
}
