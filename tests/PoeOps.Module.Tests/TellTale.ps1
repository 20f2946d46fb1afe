# A line between us and a console of a rehearsal that tells secrets: it echoes each that is typed, in many forms, and says it again while a unit is refreshed.
Add-Type -TypeDefinition @'
using System;
using System.Collections.Generic;
using System.IO;
using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Threading;
using System.Threading.Tasks;

public sealed class TellTale : IDisposable
{
    private readonly TcpListener _listener = new TcpListener(IPAddress.Loopback, 0);
    private readonly int _port;
    private readonly string[] _secrets;
    private int _told;

    public TellTale(int port, string[] secrets)
    {
        _port = port;
        _secrets = secrets;
        _listener.Start();
        Task.Run(() => { try { while (true) { Join(_listener.AcceptTcpClient()); } } catch (SocketException) { return; } });
    }

    public int Port { get { return ((IPEndPoint)_listener.LocalEndpoint).Port; } }

    public int Told { get { return _told; } }

    public void Dispose() { _listener.Stop(); }

    private void Join(TcpClient near)
    {
        var far = new TcpClient();
        far.Connect(IPAddress.Loopback, _port);
        object gate = new object();
        Action<byte[], int> say = (bytes, count) => { lock (gate) { near.GetStream().Write(bytes, 0, count); } };
        Thread(() => Forward(near.GetStream(), far.GetStream(), say), near, far);
        Thread(() =>
        {
            byte[] buffer = new byte[4096];
            for (int count = far.GetStream().Read(buffer, 0, buffer.Length); count > 0; count = far.GetStream().Read(buffer, 0, buffer.Length)) { say(buffer, count); }
        }, near, far);
    }

    private void Forward(NetworkStream from, NetworkStream to, Action<byte[], int> say)
    {
        var line = new StringBuilder();
        var heard = new List<string>();
        for (int next = from.ReadByte(); next >= 0; next = from.ReadByte())
        {
            if (next == '\r')
            {
                Tell(line.ToString(), heard, say);
                line.Clear();
            }
            else { line.Append((char)next); }
            to.WriteByte((byte)next);
        }
    }

    // A line of Telnet begins with what ended the one before, or with an answer about options.
    private void Tell(string line, List<string> heard, Action<byte[], int> say)
    {
        string typed = Array.Find(_secrets, line.EndsWith) ?? (line.EndsWith("yes") ? "yes" : line);
        if (typed == "yes") { foreach (string secret in heard) { Say("~ " + secret + " said yes\r\n", say); } }
        if (Array.IndexOf(_secrets, typed) < 0) { return; }
        heard.Add(typed);
        int half = typed.Length / 2;
        Say("\r\n" + typed + "\r\nbad secret '" + typed + "', " + typed.ToUpperInvariant() + "\r\n", say);
        Say(typed.Substring(0, half) + "\r\n" + typed.Substring(half) + "\r\n", say);
        Say(typed.Substring(0, half) + "\r\n~ link 7 is up\r\n" + typed.Substring(half) + "\r\n", say);
        Say(Convert.ToBase64String(Encoding.UTF8.GetBytes(typed)) + " " + Convert.ToHexString(Encoding.UTF8.GetBytes(typed)) + " " + Uri.EscapeDataString(typed) + "\r\n", say);
        foreach (char c in typed) { Say(c.ToString(), say); Say("\b*", say); }
        Say("\r\n", say);
    }

    private void Say(string text, Action<byte[], int> say)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        say(bytes, bytes.Length);
        Interlocked.Increment(ref _told);
    }

    // When either side goes, both do.
    private static void Thread(Action work, TcpClient near, TcpClient far)
    {
        new Thread(() =>
        {
            try { work(); }
            catch (Exception exception) when (exception is IOException || exception is ObjectDisposedException || exception is InvalidOperationException) { }
            finally { near.Dispose(); far.Dispose(); }
        }) { IsBackground = true }.Start();
    }
}
'@
