using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using PoeOps.Core.Tests.Architecture;

namespace PoeOps.Core.Tests.Files;

/// <summary>A schema of the module, and what it says of a file.</summary>
internal sealed class SchemaCheck
{
    private static readonly JsonDocumentOptions Comments = new() { CommentHandling = JsonCommentHandling.Skip };

    private readonly string _text;
    private readonly JsonSchema _schema;

    /// <summary>Opens a schema, such as <c>estate</c>.</summary>
    public SchemaCheck(string name)
    {
        _text = File.ReadAllText(Repository.Path("module", "schemas", $"poeops.{name}.schema.json"));
        _schema = JsonSchema.FromText(_text, new BuildOptions { SchemaRegistry = new SchemaRegistry() });
    }

    /// <summary>The objects that the schema describes: the root (under an empty name) and each definition that has properties, with their keys.</summary>
    public IReadOnlyDictionary<string, string[]> Keys =>
        Objects().ToDictionary(one => one.Name, one => one.Schema["properties"]!.AsObject().Select(property => property.Key).Order(StringComparer.Ordinal).ToArray());

    /// <summary>True where the schema takes the text.</summary>
    public bool Takes(string json)
    {
        using JsonDocument document = JsonDocument.Parse(json, Comments);
        return _schema.Evaluate(document.RootElement).IsValid;
    }

    /// <summary>Keys without a description, and objects that take unknown keys.</summary>
    public IReadOnlyList<string> Gaps() =>
        [.. Objects().SelectMany(one => one.Schema["properties"]!.AsObject()
            .Where(property => string.IsNullOrWhiteSpace((string?)property.Value!["description"])).Select(property => $"{one.Name}.{property.Key} has no description")),
        .. Objects().Where(one => one.Schema["additionalProperties"]?.GetValueKind() != JsonValueKind.False).Select(one => $"{one.Name} takes unknown keys")];

    private IEnumerable<(string Name, JsonObject Schema)> Objects()
    {
        JsonObject root = JsonNode.Parse(_text)!.AsObject();
        return root["$defs"]!.AsObject().Where(one => one.Value!["properties"] is not null).Select(one => (one.Key, one.Value!.AsObject())).Prepend(("", root));
    }
}
