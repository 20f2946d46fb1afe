using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// What stands at the head of an image that says itself what it is for, as those for simulated units do. ASCII lines that end in LF: <c>PSE-IMAGE 1</c>, then <c>name=value</c>
/// (family, models, version, loadsOn, bytes, sha256; loadsOn may be absent), then an empty line; behind it the payload, which bytes and sha256 describe.
/// </summary>
public sealed record ImageHeader
{
    private const string Magic = "PSE-IMAGE 1";

    /// <summary>The most octets of a header. It is a dozen short lines: what has no empty line by then has no header.</summary>
    public const int LongestHeader = 4096;

    /// <summary>The family of controllers that it is for, as <c>imageFamily</c> of a model in the world.</summary>
    public string Family { get; init; } = string.Empty;

    /// <summary>The hardware models that take it; at least one.</summary>
    public IReadOnlyList<string> Models { get; init; } = [];

    /// <summary>The version that a controller runs once it is loaded, in a spelling of the family.</summary>
    public string Version { get; init; } = string.Empty;

    /// <summary>The oldest firmware that it loads onto; null where any will do. An older controller needs another image first.</summary>
    public string? LoadsOn { get; init; }

    /// <summary>How many bytes of payload follow the header.</summary>
    public long PayloadBytes { get; init; }

    /// <summary>SHA-256 of the payload, 64 lower-case hexadecimal digits.</summary>
    public string PayloadSha256 { get; init; } = string.Empty;

    /// <summary>Makes a whole image: this header, with size and digest of the payload filled in, and the payload.</summary>
    /// <param name="payload">The firmware itself.</param>
    public byte[] Write(byte[] payload)
    {
        var text = new StringBuilder();
        text.Append(Magic).Append('\n').Append("family=").Append(Family).Append('\n').Append("models=").Append(string.Join(",", Models)).Append('\n')
            .Append("version=").Append(Version).Append('\n');
        if (LoadsOn is not null)
        {
            text.Append("loadsOn=").Append(LoadsOn).Append('\n');
        }

        text.Append("bytes=").Append(payload.Length.ToString(CultureInfo.InvariantCulture)).Append('\n')
            .Append("sha256=").Append(Digest(payload, 0)).Append("\n\n");
        byte[] head = Encoding.ASCII.GetBytes(text.ToString());
        byte[] whole = new byte[head.Length + payload.Length];
        head.CopyTo(whole, 0);
        payload.CopyTo(whole, head.Length);
        return whole;
    }

    /// <summary>Reads the header of an image.</summary>
    /// <param name="image">The image, or as much of its beginning as holds the longest header.</param>
    /// <param name="payloadStart">Where the payload begins.</param>
    /// <returns>The header, or null where the bytes are no such image.</returns>
    public static ImageHeader? Read(byte[] image, out int payloadStart)
    {
        payloadStart = FindPayload(image);
        if (payloadStart == 0)
        {
            return null;
        }

        string[] lines = Encoding.ASCII.GetString(image, 0, payloadStart - 2).Split('\n');
        Dictionary<string, string>? values = lines[0] == Magic ? ReadValues(lines.Skip(1)) : null;
        if (values is null || !values.TryGetValue("family", out string? family) || !values.TryGetValue("models", out string? models) ||
            !values.TryGetValue("version", out string? version) || !values.TryGetValue("sha256", out string? sha256) ||
            !values.TryGetValue("bytes", out string? size) || !long.TryParse(size, NumberStyles.None, CultureInfo.InvariantCulture, out long bytes))
        {
            return null;
        }

        values.TryGetValue("loadsOn", out string? loadsOn);
        return new ImageHeader { Family = family, Models = models.Split(','), Version = version, LoadsOn = loadsOn, PayloadBytes = bytes, PayloadSha256 = sha256 };
    }

    /// <summary>SHA-256 of what stands from a place on, in lower-case hexadecimal digits.</summary>
    /// <param name="image">The bytes.</param>
    /// <param name="start">The first byte that counts.</param>
    public static string Digest(byte[] image, int start)
    {
        using var sha = SHA256.Create();
        return Hex.Of(sha.ComputeHash(image, start, image.Length - start));
    }

    private static int FindPayload(byte[] image)
    {
        for (int i = 1; i < Math.Min(image.Length, LongestHeader); i++)
        {
            if (image[i] == (byte)'\n' && image[i - 1] == (byte)'\n')
            {
                return i + 1;
            }
        }

        return 0;
    }

    private static Dictionary<string, string>? ReadValues(IEnumerable<string> lines)
    {
        var values = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (string line in lines)
        {
            int mark = line.IndexOf('=');
            if (mark <= 0 || values.ContainsKey(line.Substring(0, mark)))
            {
                return null;
            }

            values.Add(line.Substring(0, mark), line.Substring(mark + 1));
        }

        return values;
    }
}
