namespace PoeOps.Images;

/// <summary>Reads a served file for one transfer, and holds one piece of it at a time. Used by one thread.</summary>
internal sealed class ServedReader
{
    private readonly ServedFile _file;
    private readonly byte[] _piece;
    private long _index = -1;

    /// <summary>Makes a reader.</summary>
    public ServedReader(ServedFile file)
    {
        _file = file;
        _piece = new byte[(int)Math.Min(ServedFile.PieceSize, file.Bytes)];
    }

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
            int part = Math.Min(count - done, _piece.Length - start);
            Array.Copy(_piece, start, into, at + done, part);
            done += part;
        }

        return count;
    }

    private bool Hold(long index)
    {
        if (index == _index)
        {
            return true;
        }

        _index = -1;
        if (!_file.TryRead(index, _piece))
        {
            return false;
        }

        _index = index;
        return true;
    }
}
