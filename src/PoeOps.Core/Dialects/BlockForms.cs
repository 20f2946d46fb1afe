using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Checks that the keys of a block go together: it reads lines by patterns, lines by columns, or JSON.</summary>
internal static class BlockForms
{
    private static readonly string[] OfLines = ["begins", "ends", "rows", "oneRecord", "ignore", "columns", "header", "wrap"];

    /// <summary>Reports keys that have no meaning beside others.</summary>
    public static void Check(JsonObjectReader item, Block block)
    {
        if (item.Has("json"))
        {
            foreach (string key in OfLines.Where(item.Has))
            {
                item.Report(ProblemId.JsonBadValue, key, $"The block '{Excerpt.Of(block.Name)}' reads JSON, and '{key}' is about lines.", $"Remove '{key}', or 'json'.");
            }

            return;
        }

        if (item.Has("columns"))
        {
            foreach (string key in new[] { "rows", "oneRecord" }.Where(key => item.Has(key) && (key == "rows" || block.OneRecord)))
            {
                item.Report(ProblemId.JsonBadValue, key, $"The block '{Excerpt.Of(block.Name)}' cuts its rows at columns, and '{key}' reads them otherwise.", $"Remove '{key}', or 'columns'.");
            }
        }
        else if (item.Has("header"))
        {
            item.Report(ProblemId.JsonBadValue, "header", $"The block '{Excerpt.Of(block.Name)}' has a header and no columns that it would give the places of.", "Add 'columns', or remove 'header'.");
        }
    }
}
