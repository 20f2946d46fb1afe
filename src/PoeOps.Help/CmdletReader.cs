using System.Reflection;
using System.Xml.Linq;

namespace PoeOps.Help;

/// <summary>Reads the cmdlets of a built assembly: their attributes, and the comments that lie beside it.</summary>
/// <param name="assembly">The assembly.</param>
internal sealed class CmdletReader(Assembly assembly)
{
    private readonly DocComments _comments = new();

    /// <summary>The cmdlets in the order of their names.</summary>
    public IReadOnlyList<CmdletHelp> Cmdlets() =>
        [.. assembly.GetTypes().Where(type => ParameterReader.Attributes(type, "CmdletAttribute").Any()).Select(Of).OrderBy(cmdlet => cmdlet.Name, StringComparer.Ordinal)];

    private CmdletHelp Of(Type type)
    {
        CustomAttributeData attribute = ParameterReader.Attributes(type, "CmdletAttribute").Single();
        XElement? comment = _comments.Of(type);
        IReadOnlyList<string> description = DocText.Paragraphs(comment?.Element("summary"));
        IReadOnlyList<ParameterHelp> parameters = new ParameterReader(_comments).Of(type);
        return new CmdletHelp
        {
            Name = string.Join('-', attribute.Texts()),
            Synopsis = DocText.FirstSentence(description.Count > 0 ? description[0] : string.Empty),
            Description = description,
            Sets = Sets(attribute.Setting<string>("DefaultParameterSetName"), parameters),
            Parameters = parameters,
            Inputs = Inputs(type, parameters),
            Outputs = Outputs(type),
            Notes = DocText.Paragraphs(comment?.Element("remarks")),
            Examples = [.. (comment?.Elements("example") ?? []).Select(Example)],
            Links = [.. (comment?.Elements("seealso") ?? []).Select(Link).OfType<string>()],
        };
    }

    private static string[] Sets(string? first, IReadOnlyList<ParameterHelp> parameters)
    {
        IEnumerable<string> named = parameters.SelectMany(parameter => parameter.Places).Select(place => place.Set).Where(set => set != ParameterPlace.AllSets);
        string[] sets = [.. (first is null ? named : named.Prepend(first)).Distinct(StringComparer.Ordinal)];
        return sets.Length > 0 ? sets : [ParameterPlace.AllSets];
    }

    private static TypeHelp[] Inputs(Type type, IReadOnlyList<ParameterHelp> parameters)
    {
        IEnumerable<TypeHelp> whole = parameters.Where(parameter => parameter.Places.Any(place => place.ByValue))
            .Select(parameter => new TypeHelp(FullName(type.GetProperty(parameter.Name)!.PropertyType), $"Taken as -{parameter.Name}. {string.Join(" ", parameter.Text.Take(1))}"));
        string[] names = [.. parameters.Where(parameter => parameter.Places.Any(place => place.ByName)).Select(parameter => parameter.Name)];
        IEnumerable<TypeHelp> byName = names.Length == 0 ? [] : [new TypeHelp("System.Object", $"Anything with properties of these names, or of their aliases: {string.Join(", ", names)}.")];
        TypeHelp[] all = [.. whole, .. byName];
        return all.Length > 0 ? all : [new TypeHelp("None", "It takes nothing from the pipeline.")];
    }

    private TypeHelp[] Outputs(Type type)
    {
        Type[] types =
        [
            .. ParameterReader.Attributes(type, "OutputTypeAttribute").SelectMany(attribute => attribute.Values()).OfType<Type>()
                .Where(output => output != typeof(void)).Distinct(),
        ];
        return types.Length > 0 ? [.. types.Select(output => new TypeHelp(FullName(output), TextOf(output)))] : [new TypeHelp("None", "It gives nothing.")];
    }

    private string TextOf(Type output) =>
        DocText.Line(_comments.Of(output)?.Element("summary")) is { Length: > 0 } text ? text
        : output == typeof(bool) ? "With -Quiet: true or false, as -Quiet says."
        : output == typeof(FileInfo) ? "The file that was written."
        : string.Empty;

    private static string FullName(Type type) => type.FullName ?? type.Name;

    private static ExampleHelp Example(XElement example) => new(
        example.Element("code")?.Value.Trim() ?? string.Empty,
        string.Join(" ", DocText.Paragraphs(example).Where((_, index) => index > 0)));

    private static string? Link(XElement link) => (string?)link.Attribute("topic") ?? CmdletName.Of((string?)link.Attribute("cref") ?? string.Empty);
}
