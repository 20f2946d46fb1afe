using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// A place on a file server where images stand: <c>tftp://host/folder/</c> (RFC 3617), <c>sftp://</c> or <c>scp://</c>. A last part with a full stop in it
/// and no slash behind is one file; everything else is a folder.
/// </summary>
public sealed record ImageAddress
{
    private const string Advice = "Write it such as tftp://192.0.2.5/images/, tftp://files.example.org:6969/a.img, tftp://[2001:db8::5]/ or sftp://files.example.org/images/.";

    // A request of TFTP has at most 512 octets (RFC 2347), and the name of an image, the mode and the options want room in it.
    private const int LongestPath = 300;

    private static readonly Regex Mode = new(";mode=(?<mode>.*)$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant, OwnPattern.Longest);

    private static readonly Dictionary<string, int> Ports = new(StringComparer.Ordinal) { ["tftp"] = 69, ["sftp"] = 22, ["scp"] = 22 };

    private ImageAddress()
    {
    }

    /// <summary>How files are fetched: <c>tftp</c>, <c>sftp</c> or <c>scp</c>.</summary>
    public string Scheme { get; private init; } = string.Empty;

    /// <summary>The host, a name or an address, without square brackets.</summary>
    public string Host { get; private init; } = string.Empty;

    /// <summary>The port; the protocol's own where none is said.</summary>
    public int Port { get; private init; }

    /// <summary>The folder as the server is asked for it, with a slash at its end; empty for the server's root.</summary>
    public string Folder { get; private init; } = string.Empty;

    /// <summary>The one file; null for all of the folder.</summary>
    public string? File { get; private init; }

    /// <summary>Reads an address.</summary>
    /// <param name="text">The address. Characters that have a meaning of their own there are percent-encoded.</param>
    /// <exception cref="PoeOpsException">It is none, of another scheme, or says what cannot be (<see cref="ProblemId.ImageServerUnreadable"/>).</exception>
    public static ImageAddress Parse(string text)
    {
        string shown = Excerpt.Of(text);
        if (!Uri.TryCreate(text, UriKind.Absolute, out Uri? uri))
        {
            throw Wrong($"'{shown}' is no address of images on a file server.");
        }

        if (!Ports.TryGetValue(uri.Scheme, out int port))
        {
            throw Wrong($"The address '{shown}' is of the scheme '{Excerpt.Of(uri.Scheme)}', and images are fetched over tftp, sftp and scp.");
        }

        if (uri.UserInfo.Length > 0)
        {
            throw Wrong("The address has a user in it, and whoever reads the command line would see the secret: give it with -Credential.");
        }

        if (uri.Host.Length == 0 || uri.Query.Length > 0 || uri.Fragment.Length > 0)
        {
            throw Wrong($"The address '{shown}' has {(uri.Host.Length == 0 ? "no host" : "a question mark or a number sign, which must be percent-encoded in a name")}.");
        }

        (string folder, string? file) = Split(PathOf(uri, shown));
        // An address of IPv6 with its interface, fe80::1%eth0, is only in this property.
        return new ImageAddress { Scheme = uri.Scheme, Host = uri.DnsSafeHost, Port = uri.Port > 0 ? uri.Port : port, Folder = folder, File = file };
    }

    /// <summary>What the server is asked for.</summary>
    /// <param name="file">The name of an image.</param>
    public string PathOf(string file) => Folder + file;

    /// <summary>The whole address of an image.</summary>
    /// <param name="file">The name of the image.</param>
    public string Of(string file)
    {
        string host = Host.IndexOf(':') >= 0 ? $"[{Host}]" : Host;
        string port = Port == Ports[Scheme] ? string.Empty : ":" + Port.ToString(CultureInfo.InvariantCulture);
        return $"{Scheme}://{host}{port}/{string.Join("/", (Folder + file).Split('/').Select(Uri.EscapeDataString))}";
    }

    /// <summary>The images of a baseline that are meant: all, or the one that the address names.</summary>
    /// <param name="uses">Those of the baseline.</param>
    /// <param name="notNamed">The verdict on a file that the baseline does not name; null where it does.</param>
    public IReadOnlyList<ImageUse> Choose(IEnumerable<ImageUse> uses, out ImageVerdict? notNamed)
    {
        // On a server the case of letters counts.
        ImageUse[] wanted = [.. uses.Where(use => File is null || use.Image.File == File)];
        notNamed = null;
        if (File is not null && wanted.Length == 0)
        {
            ImageVerdict verdict = ImageCheck.NotNamed(File, Of(File));
            notNamed = verdict with { Problem = verdict.Problem! with { Advice = "Name a file that the baseline names, letter by letter, or a folder with a slash at its end." } };
        }

        return wanted;
    }

    private static string PathOf(Uri uri, string shown)
    {
        string path = uri.AbsolutePath.Length > 0 ? uri.AbsolutePath.Substring(1) : string.Empty;
        if (uri.Scheme == "tftp" && Mode.Match(path) is { Success: true } mode)
        {
            if (!string.Equals(mode.Groups["mode"].Value, "octet", StringComparison.OrdinalIgnoreCase))
            {
                throw Wrong($"The address '{shown}' asks for the mode '{Excerpt.Of(mode.Groups["mode"].Value)}', which would change an image: only octet leaves it as it is.");
            }

            path = path.Substring(0, mode.Index);
        }

        string plain = Uri.UnescapeDataString(path);
        return plain.Any(char.IsControl) ? throw Wrong($"The address '{shown}' has a control character in its path.")
            : Encoding.UTF8.GetByteCount(plain) > LongestPath ? throw Wrong($"The path of the address '{shown}' has more than {LongestPath.ToString(CultureInfo.InvariantCulture)} octets.")
            : plain;
    }

    private static (string Folder, string? File) Split(string path)
    {
        string last = path.Substring(path.LastIndexOf('/') + 1);
        return last.IndexOf('.') >= 0 ? (path.Substring(0, path.Length - last.Length), last) : (last.Length == 0 ? path : path + "/", null);
    }

    private static PoeOpsException Wrong(string sentence) => new(new Problem(ProblemId.ImageServerUnreadable, sentence, Advice));
}
