namespace PoeOps.Planning;

/// <summary>Numbers that look like chance and are the same every time: SplitMix64, as Steele, Lea and Flood published it in 2014.</summary>
internal sealed class Draws(ulong seed)
{
    private ulong _state = seed;

    /// <summary>The next number, from 0 up to but not including a bound.</summary>
    /// <param name="bound">The bound, 1 or more.</param>
    public int Next(int bound) => (int)(Next() % (ulong)bound);

    private ulong Next()
    {
        unchecked
        {
            _state += 0x9E3779B97F4A7C15;
            ulong z = _state;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return z ^ (z >> 31);
        }
    }
}
