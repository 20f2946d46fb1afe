using System.Text;

namespace PoeOps.Core.Tests.Files;

/// <summary>A folder of one test's own, gone afterwards.</summary>
internal sealed class ScratchFolder : IDisposable
{
    public ScratchFolder() => Directory.CreateDirectory(FullPath);

    public string FullPath { get; } = System.IO.Path.Combine(System.IO.Path.GetTempPath(), "poeops-" + System.IO.Path.GetRandomFileName());

    public string Path(string name) => System.IO.Path.Combine(FullPath, name);

    /// <summary>Writes a file and returns its path.</summary>
    public string Write(string name, string text) => Write(name, new UTF8Encoding(false).GetBytes(text));

    /// <summary>Writes a file and returns its path.</summary>
    public string Write(string name, byte[] bytes)
    {
        File.WriteAllBytes(Path(name), bytes);
        return Path(name);
    }

    public void Dispose() => Directory.Delete(FullPath, recursive: true);
}
