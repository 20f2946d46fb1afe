namespace PoeOps.Planning;

/// <summary>
/// Draws of units' times from one fixed seed. The units of a window have draws that are independent, by their place in it; units of the same times and
/// place in two windows share theirs, since nothing is asked of two windows together.
/// </summary>
/// <param name="count">How many draws of each.</param>
internal sealed class StageDraws(int count)
{
    private const ulong Seed = 0x506F654F70732031;

    // The stages of a unit, and more; and more numbers than any stage draws.
    private const ulong StagesOfAPlace = 8;
    private const ulong DrawsOfAStage = 1UL << 24;

    // 20,000 draws are 160 kB.
    private const int MostKept = 256;
    private const int MostPlacesKept = 16;

    private readonly Dictionary<(string Key, int Place), double[]> _kept = [];
    private readonly Dictionary<(int Place, int Stage), double[]> _normals = [];

    /// <summary>How many draws there are of each unit.</summary>
    public int Count => count;

    /// <summary>The draws of a unit, seconds.</summary>
    /// <param name="sum">The unit's stages.</param>
    /// <param name="place">Its place in the window; the first is 0.</param>
    public double[] Of(StageSum sum, int place)
    {
        if (_kept.TryGetValue((sum.Key, place), out double[]? known))
        {
            return known;
        }

        double[] drawn = Fresh(sum, place);
        if (_kept.Count < MostKept)
        {
            _kept.Add((sum.Key, place), drawn);
        }

        return drawn;
    }

    /// <summary>The same draws, kept nowhere.</summary>
    /// <param name="sum">The unit's stages.</param>
    /// <param name="place">Its place in the window; the first is 0.</param>
    public double[] Fresh(StageSum sum, int place) => sum.Draw(stage => Normals(place, stage), count);

    private double[] Normals(int place, int stage)
    {
        if (place >= MostPlacesKept)
        {
            return Draw(place, stage);
        }

        if (!_normals.TryGetValue((place, stage), out double[]? normals))
        {
            _normals.Add((place, stage), normals = Draw(place, stage));
        }

        return normals;
    }

    private double[] Draw(int place, int stage)
    {
        var chance = SplitMix64.At(Seed, (((ulong)place * StagesOfAPlace) + (ulong)stage) * DrawsOfAStage);
        double[] normals = new double[count];
        for (int i = 0; i < count; i++)
        {
            normals[i] = NormalQuantile.Of(chance.NextPart());
        }

        return normals;
    }
}
