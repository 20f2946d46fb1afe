using System.Security.Cryptography;
using PoeOps.Files;
using PoeOps.Journal;

namespace PoeOps.Report;

/// <summary>A journal that a report is made from.</summary>
/// <param name="Path">The file, as it was given.</param>
/// <param name="Reading">What it holds.</param>
/// <param name="Sha256">SHA-256 of its bytes; empty where it cannot be read.</param>
public sealed record JournalSource(string Path, JournalReading Reading, string Sha256)
{
    /// <summary>Reads a journal, which a run may still be writing.</summary>
    /// <param name="path">The file.</param>
    public static JournalSource Read(string path) => new(path, JournalReplay.Read(path), Digest(path)?.Sha256 ?? string.Empty);

    /// <summary>The size and the digest of a file; null where it cannot be read.</summary>
    internal static (long Bytes, string Sha256)? Digest(string path)
    {
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            using var hash = SHA256.Create();
            return (stream.Length, Hex.Of(hash.ComputeHash(stream)));
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            return null;
        }
    }
}
