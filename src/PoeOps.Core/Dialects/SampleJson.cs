using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the samples that a dialect file brings along to test itself.</summary>
internal static class SampleJson
{
    /// <summary>Reads the list <c>examples</c>.</summary>
    public static IReadOnlyList<DialectSample> Read(JsonObjectReader root)
    {
        List<DialectSample> samples = [];
        foreach (JsonObjectReader item in root.Objects("examples"))
        {
            string block = item.Text("block", required: true) ?? string.Empty;
            IReadOnlyList<string> lines = item.Texts("lines", required: true);
            samples.Add(new DialectSample(block, lines, Fields(item.Object("fields", required: true)), item.Line));
            item.Close();
        }

        return samples;
    }

    private static Dictionary<string, string> Fields(JsonObjectReader? fields)
    {
        Dictionary<string, string> values = new(StringComparer.Ordinal);
        if (fields is null)
        {
            return values;
        }

        // A port's full name is taken apart before a record is made; the record has its parts.
        foreach (string name in RecordProperties.All.Where(name => name != "PortName"))
        {
            if (fields.Text(name) is { } value)
            {
                values.Add(name, value);
            }
        }

        fields.Close();
        return values;
    }
}
