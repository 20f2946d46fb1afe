namespace PoeOps.Planning;

/// <summary>
/// Chance from a seed: the generator SplitMix64 ("Fast splittable pseudorandom number generators", OOPSLA 2014), which gives the same numbers on every
/// runtime. Its state goes on by a constant, so that a place far on in its sequence is as near as the next one.
/// </summary>
/// <param name="seed">Where the sequence begins.</param>
internal sealed class SplitMix64(ulong seed)
{
    private const ulong Step = 0x9E3779B97F4A7C15;

    private ulong _state = seed;

    /// <summary>The sequence of a seed from a place on.</summary>
    /// <param name="seed">The seed.</param>
    /// <param name="place">How many numbers are passed over.</param>
    public static SplitMix64 At(ulong seed, ulong place) => new(unchecked(seed + (place * Step)));

    /// <summary>The next number, any of 64 bits.</summary>
    public ulong Next()
    {
        unchecked
        {
            _state += Step;
            ulong mixed = (_state ^ (_state >> 30)) * 0xBF58476D1CE4E5B9;
            mixed = (mixed ^ (mixed >> 27)) * 0x94D049BB133111EB;
            return mixed ^ (mixed >> 31);
        }
    }

    /// <summary>The next number from 0 up to but not including a bound.</summary>
    /// <param name="bound">The bound, 1 or more.</param>
    public int Below(int bound) => (int)(Next() % (ulong)bound);

    /// <summary>The next number above 0 and below 1: the middle of one of 2^53 equal parts.</summary>
    public double NextPart() => ((Next() >> 11) + 0.5) / (1UL << 53);
}
