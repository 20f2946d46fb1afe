using Newtonsoft.Json.Linq;

namespace PoeOps.Dialects;

/// <summary>A member of an answer that is JSON and that nothing accounted for, with the same member of all rows, which is one thing to mend.</summary>
internal sealed class JsonLeftover
{
    // Names of members may be of any length, and a path is as long as all of them together.
    private const int LongestPath = 1000;

    private JsonLeftover(string path, JToken first)
    {
        Path = path;
        First = first;
    }

    /// <summary>The path, with a star for each place in a list.</summary>
    public string Path { get; }

    /// <summary>The first of them.</summary>
    public JToken First { get; }

    /// <summary>How many there are.</summary>
    public int Count { get; private set; }

    /// <summary>Says of one value or empty container that it is read or ignored.</summary>
    public static void Account(JToken token)
    {
        if (token.Annotation<Accounted>() is null)
        {
            token.AddAnnotation(Accounted.One);
        }
    }

    /// <summary>What is left of an answer, in its order.</summary>
    /// <param name="root">The answer.</param>
    /// <param name="each">Told of every value that is left, also of those of one path.</param>
    public static IReadOnlyCollection<JsonLeftover> In(JToken root, Action<JToken> each)
    {
        Dictionary<string, JsonLeftover> found = new(StringComparer.Ordinal);
        List<JsonLeftover> inOrder = [];
        Find(root, "$", (path, token) =>
        {
            each(token);
            if (!found.TryGetValue(path, out JsonLeftover? same))
            {
                found.Add(path, same = new JsonLeftover(path, token));
                inOrder.Add(same);
            }

            same.Count++;
        });
        return inOrder;
    }

    // Goes down the tree itself, as the library looks for a token's path from the token up, along all items before it in each list.
    private static void Find(JToken token, string path, Action<string, JToken> left)
    {
        if (token is JContainer { HasValues: true })
        {
            foreach (JToken child in token.Children())
            {
                (JToken inside, string step) = child is JProperty member ? (member.Value, "." + member.Name) : (child, "[*]");
                Find(inside, path.Length > LongestPath ? path : path + step, left);
            }
        }
        else if (token.Type != JTokenType.Comment && token.Annotation<Accounted>() is null)
        {
            left(path, token);
        }
    }

    private sealed class Accounted
    {
        public static readonly Accounted One = new();
    }
}
