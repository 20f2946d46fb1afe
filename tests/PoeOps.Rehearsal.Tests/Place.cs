using PoeOps.Dialects;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal.Tests;

/// <summary>Where the test worlds and the shipped dialects stand, and a rehearsal of the mole.</summary>
internal static class Place
{
    public const double Speed = 600;

    public static string Root { get; } = FindRoot();

    public static string Mole { get; } = Path.Combine(Root, "tests", "PoeOps.Rehearsal.Tests", "worlds", "mole.estate.json");

    public static World MoleWorld { get; } = WorldFile.Read(WorldFile.Beside(Mole)).World!;

    public static RunningRehearsal Rehearse(params string[] mishaps) =>
        RehearsalEstate.Start(new RehearsalOptions { EstatePath = Mole, Speed = Speed, Mishaps = mishaps });

    public static Dialect Dialect(string family)
    {
        DialectResult result = DialectFile.Read(Path.Combine(Root, "module", "dialects", family + ".dialect.json"));
        Assert.Empty(result.Problems);
        return result.Dialect!;
    }

    public static WorldSwitch Switch(string name) => MoleWorld.Switches.Single(one => one.Name == name);

    /// <summary>Waits for something that a device does; fails after a time that no loaded machine needs.</summary>
    public static void Until(string what, Func<bool> happened)
    {
        DateTime end = DateTime.UtcNow.AddSeconds(60);
        while (!happened())
        {
            Assert.True(DateTime.UtcNow < end, $"Waited a minute for this: {what}.");
            Thread.Sleep(10);
        }
    }

    private static string FindRoot()
    {
        string? folder = AppContext.BaseDirectory;
        while (folder is not null && !File.Exists(Path.Combine(folder, "PoeOps.sln")))
        {
            folder = Path.GetDirectoryName(folder);
        }

        return folder ?? throw new InvalidOperationException("The tests run outside the repository.");
    }
}
