using System.Security.Cryptography;
using System.Text;
using PoeOps.Files;

namespace PoeOps.Planning;

/// <summary>SHA-256 digests of what a plan was made from, and of the plan.</summary>
internal static class PlanDigest
{
    /// <summary>The digest of a file's bytes, 64 lower-case hexadecimal digits; null where the file cannot be read.</summary>
    public static string? OfFile(string path)
    {
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            using var hash = SHA256.Create();
            return Hex.Of(hash.ComputeHash(stream));
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            return null;
        }
    }

    /// <summary>The digest of a text in UTF-8.</summary>
    public static string OfText(string text)
    {
        using var hash = SHA256.Create();
        return Hex.Of(hash.ComputeHash(Encoding.UTF8.GetBytes(text)));
    }
}
