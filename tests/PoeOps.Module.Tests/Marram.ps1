# A marram box on loopback: it asks who stands there, echoes what is typed, and prints what the capture of the topic holds.
Add-Type -TypeDefinition @'
using System;
using System.Collections.Generic;
using System.IO;
using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Threading.Tasks;

public sealed class MarramBox : IDisposable
{
    private const string Prompt = "dune-1 says; ";
    private readonly TcpListener _listener = new TcpListener(IPAddress.Loopback, 0);
    private readonly Dictionary<string, string> _answers = new Dictionary<string, string>();

    public MarramBox(string[] capture)
    {
        StringBuilder answer = null;
        string command = null;
        foreach (string line in capture)
        {
            if (line.StartsWith(Prompt.TrimEnd()))
            {
                if (command != null) { _answers[command] = answer.ToString(); }
                command = line.Substring(Prompt.TrimEnd().Length).Trim();
                answer = new StringBuilder();
            }
            else { answer.Append(line).Append("\r\n"); }
        }

        _listener.Start();
        Task.Run(() => { try { while (true) { Serve(_listener.AcceptTcpClient()); } } catch (SocketException) { return; } });
    }

    public int Port { get { return ((IPEndPoint)_listener.LocalEndpoint).Port; } }

    public void Dispose() { _listener.Stop(); }

    private void Serve(TcpClient client)
    {
        Task.Run(() =>
        {
            using (client)
            using (NetworkStream stream = client.GetStream())
            {
                Action<string> write = text => { byte[] bytes = Encoding.UTF8.GetBytes(text); stream.Write(bytes, 0, bytes.Length); };
                try
                {
                    write("Who stands there? ");
                    if (Line(stream, write, true) == null) { return; }
                    write("And the word? ");
                    if (Line(stream, write, false) == null) { return; }
                    write(Prompt);
                    string command;
                    while ((command = Line(stream, write, true)) != null && command != "good night")
                    {
                        string answer;
                        write(_answers.TryGetValue(command, out answer) ? answer : command == "leaves without end" || command.Length == 0 ? "" : "Marram does not grow there\r\n");
                        write(Prompt);
                    }
                }
                catch (IOException) { return; }
            }
        });
    }

    private static string Line(NetworkStream stream, Action<string> write, bool echo)
    {
        List<byte> line = new List<byte>();
        for (int next = stream.ReadByte(); next >= 0; next = stream.ReadByte())
        {
            if (next == '\r') { write("\r\n"); return Encoding.UTF8.GetString(line.ToArray()); }
            if (next != '\n') { line.Add((byte)next); if (echo) { write(((char)next).ToString()); } }
        }

        return null;
    }
}
'@
