using System.Security.Cryptography;

namespace PoeOps.Images;

/// <summary>Reads a served file for one transfer, and holds two pieces of it at a time: a block may lie over the border of two. Used by one thread.</summary>
internal sealed class ServedReader : IDisposable
{
    private readonly ServedFile _file;
    private readonly SHA256 _hash = SHA256.Create();
    private readonly int _size;
    private (long Index, byte[] Octets) _one;
    private (long Index, byte[] Octets) _other = (-1, []);

    /// <summary>Makes a reader.</summary>
    public ServedReader(ServedFile file)
    {
        _file = file;
        _size = (int)Math.Min(ServedFile.PieceSize, file.Bytes);
        _one = (-1, new byte[_size]);
    }

    /// <inheritdoc/>
    public void Dispose() => _hash.Dispose();

    /// <summary>Copies a block.</summary>
    /// <param name="position">Where in the file it begins, at most the file's size.</param>
    /// <param name="into">Takes its octets.</param>
    /// <param name="at">Where in there.</param>
    /// <param name="most">How many at the most; fewer at the file's end.</param>
    /// <returns>How many they were; -1 where the file is offered no longer.</returns>
    /// <exception cref="PoeOpsException">The file is another one than was offered (<see cref="ProblemId.ImageChanged"/>), or cannot be read (<see cref="ProblemId.FileUnreadable"/>).</exception>
    public int Read(long position, byte[] into, int at, int most)
    {
        int count = (int)Math.Min(most, _file.Bytes - position);
        for (int done = 0; done < count;)
        {
            long index = (position + done) / ServedFile.PieceSize;
            if (!Hold(index))
            {
                return -1;
            }

            int start = (int)(position + done - (index * ServedFile.PieceSize));
            int part = Math.Min(count - done, _size - start);
            Array.Copy(_one.Octets, start, into, at + done, part);
            done += part;
        }

        return count;
    }

    /// <summary>Reads ahead what the next block needs, while the client is busy with the last one.</summary>
    /// <param name="position">Where it begins, at most the file's size.</param>
    /// <param name="most">How many octets at the most.</param>
    public void Prepare(long position, int most)
    {
        long last = Math.Min(position + most, _file.Bytes) - 1;
        if (last < position)
        {
            return;
        }

        try
        {
            _ = Hold(position / ServedFile.PieceSize) && Hold(last / ServedFile.PieceSize);
        }
        catch (PoeOpsException)
        {
            // Told when the block itself is read: until then it may not be needed.
            return;
        }
    }

    // Makes it the piece at hand; of the two the one that was used longer ago is let go.
    private bool Hold(long index)
    {
        if (_one.Index == index)
        {
            return true;
        }

        (_one, _other) = (_other, _one);
        if (_one.Index == index)
        {
            return true;
        }

        byte[] octets = _one.Octets.Length == _size ? _one.Octets : new byte[_size];
        _one = (-1, octets);
        bool there = _file.TryRead(index, octets, _hash);
        _one = (there ? index : -1, octets);
        return there;
    }
}
