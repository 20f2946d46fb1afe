using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

public sealed class HostKeyFileTests : IDisposable
{
    private const string Sample = """
        {
          "$schema": "poeops.hostkeys.schema.json",
          "hostKeys": [
            {
              "address": "192.0.2.11",
              "port": 22,
              "algorithm": "ssh-ed25519",
              "fingerprint": "SHA256:gNSIRW+2Iyiuvsdp/bgjy38bvWHw6wQm3tuoXrl3WjQ",
              "acceptedUtc": "2026-12-01T22:55:00Z",
              "acceptedBy": "gull on quay"
            }
          ]
        }

        """;

    private static readonly SchemaCheck Schema = new("hostkeys");
    private readonly ScratchFolder _folder = new();

    private HostKeyFile Store => new(_folder.Path("keys/hostkeys.json"));

    public void Dispose() => _folder.Dispose();

    // ssh-keygen -lf says SHA256:gNSI… of the public key AAAAC3NzaC1lZDI1NTE5AAAAIA and 32 bytes of 7.
    [Fact]
    public void A_key_is_read_as_OpenSSH_shows_it()
    {
        var key = HostKey.Of("Quay-1.Example.org", 2022, Wire("ssh-ed25519", [.. Enumerable.Repeat((byte)7, 32)]));

        Assert.Equal(("quay-1.example.org", 2022, "ssh-ed25519", "SHA256:gNSIRW+2Iyiuvsdp/bgjy38bvWHw6wQm3tuoXrl3WjQ"), (key.Address, key.Port, key.Algorithm, key.Fingerprint));
    }

    [Theory]
    [InlineData("")]
    [InlineData("000000")]
    [InlineData("00000000")]
    [InlineData("0000000773")]
    [InlineData("FFFFFFFF73")]
    public void Bytes_that_are_no_key_are_refused(string bytes)
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => HostKey.Of("192.0.2.9", 22, Convert.FromHexString(bytes))).Problem;

        Assert.Equal(
            (ProblemId.ConnectFailed, "What the SSH server at 192.0.2.9 port 22 sent is no host key.", "Check address and port: something else than the switch may listen there."),
            (problem.Id, problem.Sentence, problem.Advice));
    }

    [Fact]
    public void A_store_that_is_not_there_has_no_keys_and_is_made_with_its_folder()
    {
        Assert.Empty(Store.Read().Keys);
        Assert.Null(Store.Find("192.0.2.11", 22));
        Assert.False(Directory.Exists(_folder.Path("keys")));

        Assert.Null(Store.Add(Key("192.0.2.11", 22)));

        Assert.Equal(Sample, File.ReadAllText(Store.Path));
        Assert.Equal(["hostkeys.json"], Directory.EnumerateFileSystemEntries(_folder.Path("keys")).Select(Path.GetFileName));
        Assert.Equal(Key("192.0.2.11", 22), Assert.Single(Store.Read().Keys));
    }

    [Fact]
    public void A_key_is_of_an_address_and_a_port_and_case_makes_no_difference()
    {
        Store.Add(Key("console.example.org", 22));

        Assert.NotNull(Store.Find("Console.Example.ORG", 22));
        Assert.Null(Store.Find("console.example.org", 2022));
        Assert.Null(Store.Find("console", 22));
    }

    [Fact]
    public void Another_key_for_the_same_place_is_not_put_in_its_place()
    {
        Store.Add(Key("192.0.2.11", 22));
        HostKey other = Key("192.0.2.11", 22) with { Fingerprint = "SHA256:" + new string('b', 43) };

        Assert.Equal(Key("192.0.2.11", 22), Store.Add(other));
        Assert.Null(Store.Add(Key("192.0.2.11", 22) with { AcceptedBy = "tern on quay" }));
        Assert.Equal(Sample, File.ReadAllText(Store.Path));
    }

    [Fact]
    public void A_key_that_is_removed_is_gone_and_the_others_stay()
    {
        Store.Add(Key("192.0.2.11", 22));
        Store.Add(Key("192.0.2.11", 2022));
        Store.Add(Key("192.0.2.12", 22));

        Assert.Equal(Key("192.0.2.11", 2022), Store.Remove("192.0.2.11", 2022));
        Assert.Null(Store.Remove("192.0.2.11", 2022));
        Assert.Equal(["192.0.2.11 22", "192.0.2.12 22"], Store.Read().Keys.Select(key => $"{key.Address} {key.Port}"));
    }

    [Fact]
    public void Writers_side_by_side_lose_none_of_each_others_keys()
    {
        Parallel.For(0, 8, new ParallelOptions { MaxDegreeOfParallelism = 8 }, writer =>
        {
            for (int number = 0; number < 5; number++)
            {
                Assert.Null(Store.Add(Key($"192.0.2.{writer}", 1000 + number)));
                Assert.Empty(Store.Read().Problems);
            }
        });

        Assert.Equal(40, Store.Read().Keys.Count);
        Assert.Equal(["hostkeys.json"], Directory.EnumerateFileSystemEntries(_folder.Path("keys")).Select(Path.GetFileName));
    }

    [Theory]
    [InlineData("\"fingerprint\": \"SHA256:", "\"fingerprint\": \"MD5:", "JsonBadValue 8 hostKeys[0].fingerprint: 'MD5:gNSIRW+2Iyiuvsdp/bgjy38bvWHw6wQm3tuoXrl3WjQ' is no SHA-256 fingerprint: 'SHA256:' and 43 characters of base64 were expected.")]
    [InlineData("22,", "0,", "JsonBadValue 6 hostKeys[0].port: Found the number 0 where ")]
    [InlineData("2026-12-01T22:55:00Z", "yesterday", "JsonBadValue 9 hostKeys[0].acceptedUtc: 'yesterday' is no time in UTC such as 2026-12-01T22:55:00Z.")]
    [InlineData("\"hostKeys\"", "\"keys\"", "JsonMissingKey 1 : The key 'hostKeys' is missing.")]
    public void A_store_with_a_mistake_is_not_relied_on(string from, string to, string expected)
    {
        string path = _folder.Write("broken.json", Sample.Replace(from, to, StringComparison.Ordinal));
        HostKeyFile store = new(path);

        HostKeyResult read = store.Read();

        Assert.Empty(read.Keys);
        Problem problem = read.Problems[0];
        Assert.StartsWith(expected[..^1], $"{problem.Id} {problem.Line} {problem.Path}: {problem.Sentence}", StringComparison.Ordinal);
        Assert.Equal(problem, Assert.Throws<PoeOpsException>(() => store.Find("192.0.2.11", 22)).Problem);
        Assert.Equal(problem, Assert.Throws<PoeOpsException>(() => store.Add(Key("192.0.2.12", 22))).Problem);
        Assert.Equal(["broken.json"], Directory.EnumerateFileSystemEntries(_folder.FullPath).Select(Path.GetFileName));
    }

    [Fact]
    public void A_place_that_stands_twice_is_a_mistake()
    {
        string one = Sample[Sample.IndexOf("    {", StringComparison.Ordinal)..Sample.IndexOf("\n  ]", StringComparison.Ordinal)];
        string path = _folder.Write("twice.json", Sample.Replace(one, one + ",\n" + one, StringComparison.Ordinal));

        Problem problem = Assert.Single(new HostKeyFile(path).Read().Problems);

        Assert.Equal((ProblemId.NameTwice, "There are two keys for 192.0.2.11 port 22."), (problem.Id, problem.Sentence));
    }

    [Fact]
    public void Every_key_of_the_schema_is_described_and_no_other_is_taken() => Assert.Empty(Schema.Gaps());

    [Theory]
    [InlineData("", "")]
    [InlineData("hostKey", "hostKeys[0]")]
    public void The_schema_and_the_reader_know_the_same_keys(string definition, string path) =>
        Assert.Equal(KnownKeys.Of(Sample, text => new HostKeyFile(_folder.Write("known.json", text)).Read().Problems)[path], Schema.Keys[definition]);

    [Fact]
    public void What_is_written_fits_the_schema() => Assert.True(Schema.Takes(Sample));

    private static HostKey Key(string address, int port) => new()
    {
        Address = address,
        Port = port,
        Algorithm = "ssh-ed25519",
        Fingerprint = "SHA256:gNSIRW+2Iyiuvsdp/bgjy38bvWHw6wQm3tuoXrl3WjQ",
        AcceptedUtc = new DateTime(2026, 12, 1, 22, 55, 0, DateTimeKind.Utc),
        AcceptedBy = "gull on quay",
    };

    private static byte[] Wire(string kind, byte[] key) => [.. Part(Encoding.ASCII.GetBytes(kind)), .. Part(key)];

    private static byte[] Part(byte[] bytes) => [0, 0, 0, (byte)bytes.Length, .. bytes];
}
