using System.Reflection;
using PoeOps.Dialects;

namespace PoeOps.Benchmarks;

/// <summary>The clone that this was built from.</summary>
internal static class Clone
{
    private static readonly string Root = typeof(Clone).Assembly.GetCustomAttributes<AssemblyMetadataAttribute>().Single(one => one.Key == "RepositoryRoot").Value!;

    /// <summary>A file or folder of it.</summary>
    public static string Path(params string[] parts) => System.IO.Path.Combine([Root, .. parts]);

    /// <summary>The dialect files that ship, and those of the tests.</summary>
    public static string[] DialectFiles() =>
        [.. Directory.GetFiles(Path("module", "dialects"), "*.dialect.json").Concat(Directory.GetFiles(Path("tests", "captures"), "*.dialect.json", SearchOption.AllDirectories)).Order(StringComparer.Ordinal)];

    /// <summary>A dialect.</summary>
    public static Dialect Dialect(string file) => DialectFile.Read(file).Dialect ?? throw new InvalidOperationException($"{file} is no dialect.");
}
