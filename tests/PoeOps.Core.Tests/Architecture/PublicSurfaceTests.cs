namespace PoeOps.Core.Tests.Architecture;

public sealed class PublicSurfaceTests
{
    private static readonly string Approved = Repository.Path("tests", "PoeOps.Core.Tests", "Architecture", "PublicSurface.txt");
    private static readonly string Received = Path.ChangeExtension(Approved, ".received.txt");

    [Fact]
    public void The_public_surface_is_the_approved_one()
    {
        using ModuleMetadata module = new();
        string text = SurfaceText.Write(module);
        if (text == File.ReadAllText(Approved))
        {
            File.Delete(Received);
            return;
        }

        File.WriteAllText(Received, text);
        string[] approved = File.ReadAllLines(Approved);
        string[] received = text.Split('\n');
        Assert.Fail(
            "What scripts see of the module has changed."
            + $"\nGone: {string.Join(" | ", approved.Except(received).Take(20))}"
            + $"\nNew: {string.Join(" | ", received.Except(approved).Take(20))}"
            + $"\nIf that is meant, approve it: replace {Approved} by {Received}, and say so in CHANGELOG.md.");
    }
}
