using System.Net.Sockets;
using System.Text;

namespace PoeOps.Rehearsal.Sessions;

/// <summary>The device's end of a console: lines and keys in, text out. Ends with <see cref="ConsoleGoneException"/> when the other side is gone or idle.</summary>
internal sealed class LineChannel
{
    // A person types a line, not a page.
    private const int LongestLine = 1000;
    private const char Escape = '\u001b';

    private readonly Socket _socket;
    private readonly byte[] _received = new byte[512];
    private int _at;
    private int _count;
    private bool _afterReturn;

    /// <summary>Takes over a connection.</summary>
    /// <param name="socket">The connection.</param>
    /// <param name="idle">How long it may say nothing, or take nothing, in the machine's time.</param>
    public LineChannel(Socket socket, TimeSpan idle)
    {
        _socket = socket;
        socket.NoDelay = true;
        socket.ReceiveTimeout = (int)Math.Min(int.MaxValue, idle.TotalMilliseconds);
        socket.SendTimeout = socket.ReceiveTimeout;
    }

    /// <summary>Reads a line. CR, LF and CR LF all end one, and the device begins a new line too.</summary>
    /// <param name="echo">True to send back what is typed.</param>
    public string ReadLine(bool echo)
    {
        var line = new StringBuilder();
        while (true)
        {
            char c = ReadKey();
            if (c is '\r' or '\n')
            {
                Write("\r\n");
                return line.ToString();
            }

            if (c is '\b' or '\u007f')
            {
                if (line.Length > 0)
                {
                    line.Length--;
                    Write("\b \b", echo);
                }
            }
            else if (c >= ' ' && c != Escape && line.Length < LongestLine)
            {
                line.Append(c);
                Write(c.ToString(), echo);
            }
        }
    }

    /// <summary>Reads one key; the LF of a CR LF is none.</summary>
    public char ReadKey()
    {
        while (true)
        {
            char c = (char)ReadByte();
            bool second = _afterReturn && c == '\n';
            _afterReturn = c == '\r';
            if (!second && c != '\0')
            {
                return c;
            }
        }
    }

    /// <summary>Sends text.</summary>
    public void Write(string text)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        try
        {
            for (int sent = 0; sent < bytes.Length;)
            {
                sent += _socket.Send(bytes, sent, bytes.Length - sent, SocketFlags.None);
            }
        }
        catch (Exception lost) when (lost is SocketException or ObjectDisposedException)
        {
            throw new ConsoleGoneException("nobody takes what is printed", lost);
        }
    }

    private void Write(string text, bool really)
    {
        if (really)
        {
            Write(text);
        }
    }

    private byte ReadByte()
    {
        if (_at == _count)
        {
            _at = 0;
            _count = Receive();
        }

        return _received[_at++];
    }

    private int Receive()
    {
        try
        {
            int count = _socket.Receive(_received);
            return count > 0 ? count : throw new ConsoleGoneException("the other side closed", null);
        }
        catch (Exception lost) when (lost is SocketException or ObjectDisposedException)
        {
            throw new ConsoleGoneException((lost as SocketException)?.SocketErrorCode == SocketError.TimedOut ? "idle for too long" : "the connection is gone", lost);
        }
    }
}

/// <summary>A console's other side is gone; ends its session and nothing else.</summary>
#pragma warning disable CA1064 // It never leaves the session that it ends.
internal sealed class ConsoleGoneException(string message, Exception? inner) : Exception(message, inner);
#pragma warning restore CA1064
