using System.Net;
using System.Net.Sockets;
using System.Text;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>A console on loopback TCP that plays a script for each connection.</summary>
internal sealed class ScriptedConsole : IDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly List<Socket> _sockets = [];
    private readonly ManualResetEventSlim _over = new();
    private readonly ManualResetEventSlim _ended = new();
    private volatile bool _disposed;

    public ScriptedConsole(Action<ConsolePeer> script)
    {
        _listener.Start();
        new Thread(() => Accept(script)) { IsBackground = true }.Start();
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    /// <summary>What the script threw, other than that the connection ended.</summary>
    public Exception? Trouble { get; private set; }

    /// <summary>Set once a connection has ended from the other side.</summary>
    public WaitHandle Ended => _ended.WaitHandle;

    /// <summary>Set at the end of the test; a script that hangs waits for it.</summary>
    public WaitHandle Over => _over.WaitHandle;

    public Stream Connect()
    {
        TcpClient client = new();
        client.Connect(IPAddress.Loopback, Port);
        return client.GetStream();
    }

    public void Dispose()
    {
        _disposed = true;
        _over.Set();
        _listener.Stop();
        lock (_sockets)
        {
            _sockets.ForEach(socket => socket.Dispose());
        }

        if (Trouble is not null)
        {
            throw new InvalidOperationException("The script broke.", Trouble);
        }
    }

    private void Accept(Action<ConsolePeer> script)
    {
        try
        {
            while (true)
            {
                Socket socket = _listener.AcceptSocket();
                socket.NoDelay = true;
                lock (_sockets)
                {
                    _sockets.Add(socket);
                }

                new Thread(() => Play(script, socket)) { IsBackground = true }.Start();
            }
        }
        catch (Exception exception) when (_disposed && exception is SocketException or ObjectDisposedException or InvalidOperationException)
        {
            _over.Set();
        }
    }

    private void Play(Action<ConsolePeer> script, Socket socket)
    {
        try
        {
            using NetworkStream stream = new(socket, ownsSocket: true);
            script(new ConsolePeer(stream, this, socket));
        }
        catch (Exception exception) when (exception is IOException or ObjectDisposedException or EndOfStreamException)
        {
            // The far end went away, as it does at the end of every test.
            _ended.Set();
        }
        catch (Exception exception)
        {
            Trouble = exception;
        }
    }
}

/// <summary>The device's end of one connection. Text is Latin-1, one byte a character, so that a script can send any byte.</summary>
internal sealed class ConsolePeer(Stream stream, ScriptedConsole console, Socket socket)
{
    /// <summary>True to send each byte on its own.</summary>
    public bool Bytewise { get; set; }

    public void Write(string text) => Write(Encoding.Latin1.GetBytes(text));

    public void Write(byte[] bytes)
    {
        if (!Bytewise)
        {
            stream.Write(bytes);
            return;
        }

        foreach (byte b in bytes)
        {
            stream.WriteByte(b);
            stream.Flush();
        }
    }

    /// <summary>Reads up to a carriage return and gives what came before it.</summary>
    public string ReadLine()
    {
        StringBuilder line = new();
        while (true)
        {
            char c = (char)ReadByte();
            if (c == '\r')
            {
                return line.ToString();
            }

            line.Append(c);
        }
    }

    public byte ReadByte()
    {
        int b = stream.ReadByte();
        return b >= 0 ? (byte)b : throw new EndOfStreamException();
    }

    public byte[] Read(int count)
    {
        byte[] bytes = new byte[count];
        stream.ReadExactly(bytes);
        return bytes;
    }

    /// <summary>Waits; true where the test was over first.</summary>
    public bool Wait(TimeSpan span) => console.Over.WaitOne(span);

    /// <summary>Resets the connection (RFC 9293, section 3.10.5: an abort).</summary>
    public void Reset()
    {
        socket.LingerState = new LingerOption(true, 0);
        socket.Close();
    }

    /// <summary>Says nothing more until the test is over.</summary>
    public void Hang() => console.Over.WaitOne();

    /// <summary>Answers every command by its script until the far end closes; a command that is not there is refused.</summary>
    /// <param name="prompt">The prompt after each answer; it is not drawn before the first command.</param>
    /// <param name="echo">How a command is echoed; null for not at all.</param>
    /// <param name="answers">What each command gives.</param>
    public void Serve(string prompt, Func<string, string>? echo, IReadOnlyDictionary<string, string> answers)
    {
        while (true)
        {
            string command = ReadLine();
            Write(echo?.Invoke(command) ?? string.Empty);
            Write(answers.GetValueOrDefault(command, $"unheard of: {command}\r\n") + prompt);
        }
    }
}
