using System.Globalization;
using Newtonsoft.Json.Linq;

namespace PoeOps.Files;

/// <summary>
/// Refuses hidden characters (<see cref="PlainText"/>) in the texts of a user's JSON file: whatever is read from it may be shown, and no reader of the
/// file saw them.
/// </summary>
internal static class HiddenCharacters
{
    /// <summary>Reports each text that has one, once; it is read on as it would be shown, so that nothing else is told of it.</summary>
    /// <param name="root">The whole value.</param>
    /// <param name="file">The file, as the user named it.</param>
    /// <param name="controls">True for a file whose texts may go to a device, so that control characters have a meaning in them.</param>
    /// <param name="problems">Where problems are added (<see cref="ProblemId.HiddenCharacter"/>).</param>
    public static void Refuse(JToken root, string file, bool controls, IList<Problem> problems)
    {
        IEnumerable<JToken> all = root is JContainer container ? container.DescendantsAndSelf() : [root];
        foreach (JValue value in all.OfType<JValue>().Where(one => one.Type == JTokenType.String))
        {
            string text = (string)value.Value!;
            if (First(text, controls) is not { } at)
            {
                continue;
            }

            new JsonItem(value, file, problems).Report(
                ProblemId.HiddenCharacter,
                $"The text '{Excerpt.Of(text)}' holds {Name(text, at)}, which nobody sees and which may change how what stands around it is shown.",
                "Write the text without it.");
            value.Value = PlainText.Of(text);
        }
    }

    private static int? First(string text, bool controls)
    {
        for (int i = 0; i < text.Length; i += PlainText.Length(text, i))
        {
            if (PlainText.IsHidden(text, i) && !(controls && char.IsControl(text[i])))
            {
                return i;
            }
        }

        return null;
    }

    private static string Name(string text, int at)
    {
        int code = PlainText.Length(text, at) == 2 ? char.ConvertToUtf32(text, at) : text[at];
        return $"the {(char.IsControl(text[at]) ? "control character" : "character")} U+{code.ToString("X4", CultureInfo.InvariantCulture)}";
    }
}
