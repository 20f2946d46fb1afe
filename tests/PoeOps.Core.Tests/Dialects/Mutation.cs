using System.Text;
using Newtonsoft.Json;
using Newtonsoft.Json.Linq;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Random changes of captures and dialect files.</summary>
internal static class Mutation
{
    private static readonly string[] Pieces =
    [
        "\n", "\r\n", "\r", "\b\b", "\u001b[2K", "\u001b[", "\u001b]0;x", "\u009b3G", "\0", "\u00ff", "-", " ", "9", "W", "lug 1", "Lugs: 2", "== pin a1", "Guests", "{", "}", "\"", "null", "=== 1 mouths", "  ",
    ];

    private static readonly JToken?[] Others = [null, true, 0, -1, 1e9, 4.5, "", "x", "(?<Unit>.*)", "(a+)+b", "[", "{Unit}", new JArray(), new JObject(), new JArray("x", 1), new JObject { ["name"] = "x" }];

    // An object of the library has each name once; what is behind it is taken away in the text.
    private const string Again = "(again)";

    /// <summary>Takes bytes away, doubles, swaps, replaces and inserts some.</summary>
    /// <param name="whole">What is changed.</param>
    /// <param name="random">Where chance comes from.</param>
    /// <param name="encoding">How pieces are written that are put in.</param>
    /// <param name="most">The most changes.</param>
    public static byte[] OfBytes(byte[] whole, Random random, Encoding encoding, int most)
    {
        List<byte> bytes = [.. whole];
        for (int times = random.Next(1, most + 1); times > 0 && bytes.Count > 1; times--)
        {
            int at = random.Next(bytes.Count);
            int length = Math.Min(random.Next(1, 40), bytes.Count - at);
            switch (random.Next(5))
            {
                case 0:
                    bytes.RemoveRange(at, length);
                    break;
                case 1:
                    bytes.InsertRange(at, bytes.GetRange(at, length));
                    break;
                case 2:
                    bytes[at] = (byte)random.Next(256);
                    break;
                case 3:
                    bytes.InsertRange(at, encoding.GetBytes(Pieces[random.Next(Pieces.Length)]));
                    break;
                default:
                    (bytes[at], bytes[at + length - 1]) = (bytes[at + length - 1], bytes[at]);
                    break;
            }
        }

        return [.. bytes];
    }

    /// <summary>A part of a capture that begins where it does or at some line, and ends anywhere; all of a short one.</summary>
    /// <param name="whole">The capture.</param>
    /// <param name="random">Where chance comes from.</param>
    /// <param name="most">The most bytes.</param>
    public static byte[] PartOf(byte[] whole, Random random, int most)
    {
        if (whole.Length <= most)
        {
            return whole;
        }

        int start = random.Next(2) == 0 ? 0 : Array.IndexOf(whole, (byte)'\n', random.Next(whole.Length)) + 1;
        return whole[start..Math.Min(start + most, whole.Length)];
    }

    /// <summary>Takes members of a JSON text away, writes some twice, gives them values of other kinds, exchanges them, and splices its texts.</summary>
    /// <param name="json">The text; comments are lost.</param>
    /// <param name="random">Where chance comes from.</param>
    public static string OfShape(string json, Random random)
    {
        JToken root = JToken.Parse(json, new JsonLoadSettings { CommentHandling = CommentHandling.Ignore });
        for (int times = random.Next(1, 4); times > 0; times--)
        {
            JToken[] all = [.. ((JContainer)root).Descendants().Where(token => token is not JProperty)];
            if (all.Length < 2)
            {
                break;
            }

            Change(all[random.Next(all.Length)], all[random.Next(all.Length)], random);
        }

        string text = root.ToString(Formatting.Indented);
        return text.Replace(Again, string.Empty, StringComparison.Ordinal);
    }

    private static void Change(JToken one, JToken other, Random random)
    {
        switch (random.Next(6))
        {
            case 0:
                (one.Parent is JProperty member ? (JToken)member : one).Remove();
                break;
            case 1:
                one.Replace(Others[random.Next(Others.Length)]?.DeepClone() ?? JValue.CreateNull());
                break;
            case 2:
                one.Replace(other.DeepClone());
                break;
            case 3 when one is JValue { Value: string text } value && other is JValue { Value: string more }:
                value.Value = text[..random.Next(text.Length + 1)] + more[random.Next(more.Length + 1)..];
                break;
            case 4 when one.Parent is JArray list:
                list.Add(other.DeepClone());
                break;
            case 5 when one.Parent is JProperty { Parent: JObject owner } twice && owner[twice.Name + Again] is null:
                twice.AddAfterSelf(new JProperty(twice.Name + Again, (random.Next(2) == 0 ? one : other).DeepClone()));
                break;
            default:
                one.Replace(new JArray(one.DeepClone(), other.DeepClone()));
                break;
        }
    }
}
