using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>A peer that has said its octets: they are read in pieces, and what is written to it is kept.</summary>
internal sealed class CutStream(byte[] octets, Func<int> size) : ConnectionStream
{
    private readonly MemoryStream _written = new();
    private int _at;

    public CutStream(byte[] octets, int size)
        : this(octets, () => size)
    {
    }

    /// <summary>True where it takes nothing that is written.</summary>
    public bool TakesNothing { get; init; }

    /// <summary>How often it was asked to take something and did not.</summary>
    public int Refused { get; private set; }

    /// <summary>How often it was read from.</summary>
    public int Reads { get; private set; }

    public byte[] Written => _written.ToArray();

    public override int Read(byte[] buffer, int offset, int count)
    {
        Reads++;
        int length = Math.Min(Math.Min(size(), count), octets.Length - _at);
        Array.Copy(octets, _at, buffer, offset, length);
        _at += length;
        return length;
    }

    public override void Write(byte[] buffer, int offset, int count)
    {
        if (TakesNothing)
        {
            Refused++;
            throw new IOException("The peer takes nothing any more.");
        }

        _written.Write(buffer, offset, count);
    }

    public override void Flush() => _written.Flush();

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _written.Flush();
        }

        base.Dispose(disposing);
    }
}
