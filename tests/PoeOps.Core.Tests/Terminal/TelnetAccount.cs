using System.Text;
using System.Text.RegularExpressions;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>
/// Octets that a peer might say, by the number of their case, and an account of what a Telnet stream does with them: which of them are the dialogue is told by
/// expressions over the whole text, as RFC 854 and 855 describe it, and not octet by octet as the stream does it.
/// </summary>
internal static partial class TelnetAccount
{
    // Options that are known, and some that are not.
    private static readonly byte[] Options = [0, 1, 3, 5, 6, 24, 31, 32, 34, 39, 200, 255];

    /// <summary>The octets of a case.</summary>
    public static byte[] Octets(int number)
    {
        Random random = new(number);
        List<byte> octets = [];
        for (int parts = random.Next(1, 40); parts > 0; parts--)
        {
            octets.AddRange(Part(random));
        }

        // The peer may close anywhere.
        return [.. octets.Take(random.Next(4) == 0 ? random.Next(octets.Count + 1) : octets.Count)];
    }

    /// <summary>The octets of the dialogue among what a peer said.</summary>
    public static byte[] Dialogue(byte[] said)
    {
        string text = Latin(said);
        string dialogue = Commands().Replace(text, match => match.Value == "\u00ff\u00ff" ? "\u00ff" : string.Empty);
        return Encoding.Latin1.GetBytes(dialogue.Replace("\r\0", "\r", StringComparison.Ordinal));
    }

    /// <summary>Reads the octets of a case in pieces of sizes by chance.</summary>
    /// <returns>What is wrong; or null.</returns>
    public static string? Fault(int number)
    {
        byte[] said = Octets(number);
        Random random = new(number);
        int most = random.Next(1, 40);
        using CutStream peer = new(said, () => random.Next(1, most + 1));
        byte[] came;
        try
        {
            came = TelnetWords.Read(peer);
        }
#pragma warning disable CA1031 // An exception of any kind is what is looked for.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            return exception.ToString();
        }

        byte[] dialogue = Dialogue(said);
        return !came.AsSpan().SequenceEqual(dialogue) ? $"{came.Length} octets came of {dialogue.Length}, and they differ from octet {came.AsSpan().CommonPrefixLength(dialogue)} on"
            : peer.Reads > said.Length + 1 ? "it was read on after its end"
            : WrongAnswer(peer.Written, said.Length);
    }

    // What is answered is made of grants and refusals, never twice the same grant, and never more than the peer's own asking is worth.
    private static string? WrongAnswer(byte[] answers, int said)
    {
        if (answers.Length > 4 * said)
        {
            return $"{answers.Length} octets were answered to {said}";
        }

        string text = Latin(answers);
        if (Answers().Replace(text, string.Empty).Length > 0)
        {
            return "something else than an answer was sent: " + Convert.ToHexStringLower(answers);
        }

        IEnumerable<IGrouping<string, string>> granted = Changes().Matches(text).Select(match => match.Value).GroupBy(value => (value[1] is '\u00fb' or '\u00fc' ? "ours " : "theirs ") + (int)value[2]);
        return granted.FirstOrDefault(changes => changes.Where((value, index) => value[1] is '\u00fb' or '\u00fd' != (index % 2 == 0)).Any()) is { } wrong ? $"option {wrong.Key} is not turned on and off in turn" : null;
    }

    private static byte[] Part(Random random)
    {
        byte option = random.Next(4) == 0 ? (byte)random.Next(256) : Options[random.Next(Options.Length)];
        switch (random.Next(9))
        {
            case 0:
                return [255, (byte)random.Next(251, 255), option];
            case 1:
                return [.. Enumerable.Repeat<byte[]>([255, (byte)random.Next(251, 255), option], random.Next(1, 60)).SelectMany(one => one)];
            case 2:
                return [255, 250, option, .. Noise(random, 6), 255, 240];
            case 3:
                return [255, 250, 24, 1, 255, 240];
            case 4:
                // Some around the length that is too long.
                return [255, 250, option, .. random.Next(3) == 0 ? [.. Enumerable.Repeat((byte)random.Next(255), random.Next(1000, 1060))] : Noise(random, 30)];
            case 5:
                return [255, (byte)random.Next(256)];
            case 6:
                return [13, .. random.Next(3) == 0 ? new byte[] { 255, 241 } : [], (byte)random.Next(0, 2)];
            case 7:
                return Noise(random, 12);
            default:
                return Encoding.Latin1.GetBytes("berth 7 rests\r\nÿÿ\r\0\n".AsSpan(random.Next(10)).ToString());
        }
    }

    // Octets that matter come more often than others.
    private static byte[] Noise(Random random, int most)
    {
        byte[] noise = new byte[random.Next(most + 1)];
        for (int i = 0; i < noise.Length; i++)
        {
            int kind = random.Next(12);
            noise[i] = kind == 0 ? (byte)255 : kind == 1 ? (byte)random.Next(236, 256) : kind == 2 ? (byte)13 : kind == 3 ? (byte)0 : (byte)random.Next(256);
        }

        return noise;
    }

    private static string Latin(byte[] octets) => Encoding.Latin1.GetString(octets);

    // In order: an octet 255 of the dialogue; a subnegotiation that grew too long, or to its end, or to the next command; a negotiation; any other command;
    // each of them may be cut by the end.
    [GeneratedRegex(
        @"\xff\xff|\xff\xfa(?:(?>(?:[^\xff]|\xff\xff){1024})|(?>(?:[^\xff]|\xff\xff){0,1023})(?:\xff\xf0|(?=\xff[^\xff])|\xff?\z))|\xff[\xfb-\xfe](?:.|\z)|\xff(?:[^\xff]|\z)",
        RegexOptions.Singleline | RegexOptions.CultureInvariant)]
    private static partial Regex Commands();

    [GeneratedRegex(@"\xff[\xfc\xfe].|\xff\xfd[\x01\x03]|\xff\xfb[\x03\x18]|\xff\xfb\x1f\xff\xfa\x1f\x00\xc8\x00\x00\xff\xf0|\xff\xfa\x18\x00dumb\xff\xf0", RegexOptions.Singleline | RegexOptions.CultureInvariant)]
    private static partial Regex Answers();

    // Of options that may be granted: ours (WILL, WONT) and theirs (DO, DONT).
    [GeneratedRegex(@"\xff[\xfb\xfc][\x03\x18\x1f]|\xff[\xfd\xfe][\x01\x03]", RegexOptions.Singleline | RegexOptions.CultureInvariant)]
    private static partial Regex Changes();
}
