namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>Texts that somebody has read and found right. One that differs is written beside it, to be looked at.</summary>
internal static class Approved
{
    /// <summary>Holds a text against the approved one of its name.</summary>
    public static void Check(string name, string text)
    {
        string folder = Path.Combine(Place.Root, "tests", "PoeOps.Rehearsal.Tests", "approved");
        string path = Path.Combine(folder, name + ".txt");
        string received = Path.Combine(folder, name + ".received.txt");
        string approved = File.Exists(path) ? File.ReadAllText(path).Replace("\r\n", "\n", StringComparison.Ordinal) : string.Empty;
        if (approved == text)
        {
            File.Delete(received);
            return;
        }

        File.WriteAllText(received, text);
        Assert.Fail($"The journal of '{name}' is another than the approved one. Look at {received}; where it is right, put it in the place of {path}.\n\n{text}");
    }
}
