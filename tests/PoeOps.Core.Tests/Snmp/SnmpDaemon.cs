using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Core.Tests.Images;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Debian's snmpd on loopback, with rows of our own behind pass_persist and a user for every hash. Ended by its own process when the test is through.</summary>
internal sealed class SnmpDaemon : IDisposable
{
    public const string Community = "quiet";
    public const string AuthPassword = "maplesyrup";
    public const string PrivPassword = "syrupmaple";

    private const string Roots = ".1.3.6.1.2.1.105 .1.3.111.2.802.3.1.8 .1.3.6.1.2.1.47 .1.3.6.1.2.1.17.1.4 .1.0.8802.1.1.2.1";

    // Far longer than its start takes; only a test that fails waits for it.
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    // Debian's file has the other names of these hashes; both kinds are net-snmp's (snmpd.conf(5), createUser).
    private static readonly (AuthProtocol Protocol, string Word)[] Hashes =
        [(AuthProtocol.Md5, "MD5"), (AuthProtocol.Sha1, "SHA"), (AuthProtocol.Sha224, "SHA-224"), (AuthProtocol.Sha256, "SHA-256"), (AuthProtocol.Sha384, "SHA-384"), (AuthProtocol.Sha512, "SHA-512")];

    private readonly ScratchFolder _folder = new();
    private Process? _process;

    public SnmpDaemon(IEnumerable<string>? rows = null)
    {
        Assert.True(OtherProgram.Find("snmpd") is not null, "'snmpd' is not installed, and where CI is 'true' nothing is left out.");
        Endpoint = new IPEndPoint(IPAddress.Loopback, FreePort());
        string path = _folder.Write("rows.txt", string.Join("\n", rows ?? Rows(1, 8)) + "\n");
        string script = Repository.Path("tests", "PoeOps.Core.Tests", "Snmp", "data", "rows.pl");
        IEnumerable<string> users = Hashes.SelectMany(hash => (string[])
        [
            $"createUser {UserOf(hash.Protocol)} {hash.Word} \"{AuthPassword}\" AES \"{PrivPassword}\"",
            $"rouser {UserOf(hash.Protocol)} noauth",
        ]);
        _folder.Write("snmpd.conf", string.Join(
            "\n",
            [
                $"agentaddress udp:{Endpoint}", $"rocommunity {Community} 127.0.0.1", "createUser open", "rouser open noauth",
                .. Roots.Split(' ').Select(root => $"pass_persist {root} /usr/bin/perl {script} {path}"), .. users,
            ]) + "\n");
        Start();
    }

    public IPEndPoint Endpoint { get; }

    public static string UserOf(AuthProtocol protocol) => "night" + protocol.ToString().ToLowerInvariant();

    public static UserAccess Access(AuthProtocol protocol, SecurityLevel level, string auth = AuthPassword, string priv = PrivPassword) =>
        new(new UserSecurity(UserOf(protocol), new PasswordKey(protocol, auth), new PasswordKey(protocol, priv)), level);

    /// <summary>Rows of RFC 3621 for units of so many ports, of which every third delivers class 3.</summary>
    public static IEnumerable<string> Rows(int units, int ports)
    {
        for (int unit = 1; unit <= units; unit++)
        {
            yield return $"1.3.6.1.2.1.105.1.3.1.1.2.{unit}|gauge|370";
            yield return $"1.3.6.1.2.1.105.1.3.1.1.3.{unit}|integer|1";
            yield return $"1.3.6.1.2.1.105.1.3.1.1.4.{unit}|gauge|{ports / 3 * 6}";
            yield return $"1.3.6.1.2.1.105.1.3.1.1.5.{unit}|integer|0";
            for (int port = 1; port <= ports; port++)
            {
                yield return $"1.3.6.1.2.1.105.1.1.1.3.{unit}.{port}|integer|1";
                yield return $"1.3.6.1.2.1.105.1.1.1.6.{unit}.{port}|integer|{(port % 3 == 0 ? 3 : 2)}";
                yield return $"1.3.6.1.2.1.105.1.1.1.7.{unit}.{port}|integer|3";
                yield return $"1.3.6.1.2.1.105.1.1.1.10.{unit}.{port}|integer|4";
            }
        }
    }

    public void Start()
    {
        _process = new Process { StartInfo = new ProcessStartInfo(OtherProgram.Find("snmpd")!, ["-f", "-Le", "-p", _folder.Path("pid")]) { RedirectStandardError = true, RedirectStandardOutput = true } };
        _process.StartInfo.Environment["SNMPCONFPATH"] = _folder.FullPath;
        _process.StartInfo.Environment["SNMP_PERSISTENT_DIR"] = _folder.Path("kept");
        _process.StartInfo.Environment["MIBS"] = "";
        _process.ErrorDataReceived += (_, _) => { };
        _process.OutputDataReceived += (_, _) => { };
        _process.Start();
        _process.BeginErrorReadLine();
        _process.BeginOutputReadLine();
        var times = new SnmpTimes { FirstWait = TimeSpan.FromMilliseconds(100), LongestWait = TimeSpan.FromMilliseconds(300), FirstTries = 400, Deadline = Patience };
        using var session = new SnmpSession(Endpoint, new CommunityAccess(Community), times);
        _ = session.GetNext(Oid.Parse("1.3.6.1.2.1.1"));
    }

    /// <summary>Ends it as a device ends that is restarted.</summary>
    public void Stop()
    {
        if (_process is { HasExited: false })
        {
            // SIGTERM, so that it writes down how often it was started.
            using Process kill = Process.Start("kill", _process.Id.ToString(CultureInfo.InvariantCulture));
            kill.WaitForExit();
            if (!_process.WaitForExit(10_000))
            {
                _process.Kill();
            }

            _process.WaitForExit();
        }

        _process?.Dispose();
        _process = null;
    }

    public void Dispose()
    {
        Stop();
        _folder.Dispose();
    }

    private static int FreePort()
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return ((IPEndPoint)socket.LocalEndPoint!).Port;
    }
}
