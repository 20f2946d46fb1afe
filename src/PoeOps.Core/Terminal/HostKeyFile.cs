using System.Text.RegularExpressions;
using Newtonsoft.Json;
using Newtonsoft.Json.Linq;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>
/// The store of accepted host keys: a JSON file with one key for each address and port. It is changed under a lock and replaced whole, so that runs
/// side by side lose none of each other's keys and nobody ever reads half of it.
/// </summary>
public sealed class HostKeyFile
{
    private const string Advice = "Correct the entry, or take the file away: then every key is unknown and asked about again.";

    private static readonly Regex FingerprintForm = new("^SHA256:[A-Za-z0-9+/]{43}$", RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly TimeSpan LockTime = TimeSpan.FromSeconds(20);
    private static readonly TimeSpan Moment = TimeSpan.FromMilliseconds(20);

    /// <summary>Names a store; nothing is read or written yet.</summary>
    /// <param name="path">The file; it and its folder need not exist.</param>
    public HostKeyFile(string path) => Path = path;

    /// <summary>The store of this user on this machine.</summary>
    /// <exception cref="PoeOpsException">The system knows no place for the user's data (<see cref="ProblemId.FileNotFound"/>).</exception>
    public static string DefaultPath()
    {
        string folder = Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData, Environment.SpecialFolderOption.DoNotVerify);
        return folder.Length > 0
            ? System.IO.Path.Combine(folder, "PoeOps", "hostkeys.json")
            : throw new PoeOpsException(new Problem(ProblemId.FileNotFound, "The system names no folder for this user's data, so there is no place for host keys.", "Name a file with -HostKeyPath."));
    }

    /// <summary>The file.</summary>
    public string Path { get; }

    /// <summary>Reads every key.</summary>
    /// <returns>The keys in the order of the file, none where there is no file; or every mistake that the file has.</returns>
    public HostKeyResult Read()
    {
        List<Problem> problems = [];
        List<HostKey> keys = [];
        if (!File.Exists(Path) && !Directory.Exists(Path))
        {
            return new HostKeyResult(keys, problems);
        }

        JsonObjectReader? root = JsonObjectReader.Open(Path, problems);
        foreach (JsonObjectReader reader in root?.Objects("hostKeys", required: true) ?? [])
        {
            HostKey key = KeyOf(reader);
            if (keys.Any(other => other.IsOf(key.Address, key.Port)))
            {
                reader.Report(ProblemId.NameTwice, "address", $"There are two keys for {HostKeyText.Place(key)}.", Advice);
            }

            keys.Add(key);
            reader.Close();
        }

        root?.Close();
        return new HostKeyResult(problems.Count == 0 ? keys : [], problems);
    }

    /// <summary>The key of an address and port, or null.</summary>
    /// <exception cref="PoeOpsException">The file has a mistake: no key of it is relied on then.</exception>
    public HostKey? Find(string address, int port) => Sound().FirstOrDefault(key => key.IsOf(address, port));

    /// <summary>Adds a key.</summary>
    /// <param name="key">The key.</param>
    /// <returns>Null; or the key that stands there for the same address and port and is another one. It is left as it is.</returns>
    /// <exception cref="PoeOpsException">The file has a mistake, or cannot be written (<see cref="ProblemId.FileNotWritable"/>).</exception>
    public HostKey? Add(HostKey key) => Change(keys =>
    {
        HostKey? there = keys.FirstOrDefault(other => other.IsOf(key.Address, key.Port));
        return there is null ? ([.. keys, key], null) : (null, there.IsSameKey(key) ? null : there);
    });

    /// <summary>Removes the key of an address and port.</summary>
    /// <returns>The key that was removed, or null where there was none.</returns>
    /// <exception cref="PoeOpsException">The file has a mistake, or cannot be written (<see cref="ProblemId.FileNotWritable"/>).</exception>
    public HostKey? Remove(string address, int port) => Change(keys =>
    {
        HostKey? there = keys.FirstOrDefault(other => other.IsOf(address, port));
        return (there is null ? null : [.. keys.Where(other => other != there)], there);
    });

    private static HostKey KeyOf(JsonObjectReader reader)
    {
        string fingerprint = reader.Text("fingerprint", required: true) ?? string.Empty;
        string? accepted = reader.Text("acceptedUtc", required: true);
        DateTime? utc = IsoText.Utc(accepted);
        var key = new HostKey
        {
            Address = HostKeyText.Address(reader.Text("address", required: true) ?? string.Empty),
            Port = reader.Whole("port", required: true, least: 1, most: 65535) ?? 0,
            Algorithm = reader.Text("algorithm", required: true) ?? string.Empty,
            Fingerprint = fingerprint,
            AcceptedUtc = utc ?? default,
            AcceptedBy = reader.Text("acceptedBy", required: true) ?? string.Empty,
        };
        if (fingerprint.Length > 0 && !FingerprintForm.IsMatch(fingerprint))
        {
            reader.Report(ProblemId.JsonBadValue, "fingerprint", $"'{Excerpt.Of(fingerprint)}' is no SHA-256 fingerprint: 'SHA256:' and 43 characters of base64 were expected.", Advice);
        }

        if (accepted is not null && utc is null)
        {
            reader.Report(ProblemId.JsonBadValue, "acceptedUtc", $"'{Excerpt.Of(accepted)}' is no time in UTC such as 2026-12-01T22:55:00Z.", Advice);
        }

        return key;
    }

    private static string Text(IEnumerable<HostKey> keys) => new JObject(
        new JProperty("$schema", "poeops.hostkeys.schema.json"),
        new JProperty("hostKeys", new JArray(keys.Select(key => new JObject(
            new JProperty("address", key.Address),
            new JProperty("port", key.Port),
            new JProperty("algorithm", key.Algorithm),
            new JProperty("fingerprint", key.Fingerprint),
            new JProperty("acceptedUtc", IsoText.Write(key.AcceptedUtc)),
            new JProperty("acceptedBy", key.AcceptedBy)))))).ToString(Formatting.Indented) + "\n";

    private IReadOnlyList<HostKey> Sound()
    {
        HostKeyResult read = Read();
        return read.Problems.Count == 0 ? read.Keys : throw new PoeOpsException(read.Problems[0]);
    }

    private HostKey? Change(Func<IReadOnlyList<HostKey>, (IReadOnlyList<HostKey>? Changed, HostKey? Result)> change)
    {
        RunLock held = Hold();
        try
        {
            (IReadOnlyList<HostKey>? changed, HostKey? result) = change(Sound());
            if (changed is not null)
            {
                WholeFile.Write(Path, Text(changed), overwrite: true);
            }

            return result;
        }
        finally
        {
            // A lock that stays behind is taken over by the next change: this process is gone then.
            _ = held.Release();
        }
    }

    private RunLock Hold()
    {
        string path = System.IO.Path.GetFullPath(Path) + ".lock";
        Deadline deadline = SystemClock.Instance.DeadlineIn(LockTime);
        try
        {
            Directory.CreateDirectory(System.IO.Path.GetDirectoryName(path)!);
            while (true)
            {
                if (RunLock.Take(path, force: false, out HeldLock? holder, out Exception? trouble) is { } held)
                {
                    return held;
                }

                if (holder is null || deadline.HasPassed)
                {
                    throw new PoeOpsException(NotWritable(holder is null ? TextFile.OneSentence(trouble!) : $"it is being written by {holder.By}."), trouble);
                }

                _ = SystemClock.Instance.Wait(Moment, CancellationToken.None);
            }
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            throw new PoeOpsException(NotWritable(TextFile.OneSentence(exception)), exception);
        }
    }

    private Problem NotWritable(string why) => new(
        ProblemId.FileNotWritable, $"The host keys '{Path}' cannot be written: {why}", "Check that you may write in the folder; a lock whose run is known to be dead may be taken away.") { File = Path };
}

/// <summary>What came of reading a store of host keys.</summary>
/// <param name="Keys">The keys; none where there are problems.</param>
/// <param name="Problems">Every mistake of the file.</param>
public sealed record HostKeyResult(IReadOnlyList<HostKey> Keys, IReadOnlyList<Problem> Problems);
