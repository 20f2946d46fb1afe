using System.Xml.Linq;

namespace PoeOps.Help;

/// <summary>The elements that say what a parameter is, on the lines of the syntax and by itself.</summary>
internal static class MamlParameters
{
    /// <summary>The line of a parameter set.</summary>
    public static XElement Syntax(CmdletHelp cmdlet, string set)
    {
        var placed = cmdlet.Parameters.Where(parameter => parameter.In(set) is not null).Select(parameter => (Parameter: parameter, Place: parameter.In(set)!)).ToList();
        // As PowerShell writes it itself: by position, then what must be given, then the rest.
        var ordered = placed.Where(one => one.Place.Position is not null).OrderBy(one => one.Place.Position)
            .Concat(placed.Where(one => one.Place is { Position: null, IsMandatory: true }))
            .Concat(placed.Where(one => one.Place is { Position: null, IsMandatory: false }));
        return new XElement(Maml.Command + "syntaxItem", new XElement(Maml.Text + "name", cmdlet.Name), ordered.Select(one => OnLine(one.Parameter, one.Place)));
    }

    /// <summary>The parameter by itself, with its texts.</summary>
    public static XElement Full(ParameterHelp parameter)
    {
        bool mandatory = parameter.Places.All(place => place.IsMandatory);
        ParameterPlace place = parameter.Places[0] with
        {
            IsMandatory = mandatory,
            ByValue = parameter.Places.Any(one => one.ByValue),
            ByName = parameter.Places.Any(one => one.ByName),
        };
        return new XElement(
            Maml.Command + "parameter", Attributes(parameter, place), new XElement(Maml.Text + "name", parameter.Name),
            new XElement(Maml.Text + "description", parameter.Text.Select(Maml.Para)), Value(parameter),
            new XElement(Maml.Dev + "type", new XElement(Maml.Text + "name", parameter.TypeName), new XElement(Maml.Text + "uri")),
            new XElement(Maml.Dev + "defaultValue", parameter.DefaultValue ?? "None"));
    }

    private static XElement OnLine(ParameterHelp parameter, ParameterPlace place) => new(
        Maml.Command + "parameter", Attributes(parameter, place), new XElement(Maml.Text + "name", parameter.Name), Value(parameter));

    private static XElement? Value(ParameterHelp parameter) => parameter.IsSwitch
        ? null
        : new(Maml.Command + "parameterValue", new XAttribute("required", "true"), new XAttribute("variableLength", Say(parameter.TypeName.EndsWith("[]", StringComparison.Ordinal))), parameter.TypeName);

    private static XAttribute[] Attributes(ParameterHelp parameter, ParameterPlace place) =>
    [
        new("required", Say(place.IsMandatory)), new("variableLength", Say(parameter.TypeName.EndsWith("[]", StringComparison.Ordinal))), new("globbing", Say(parameter.TakesWildcards)),
        new("pipelineInput", place.Pipeline), new("position", place.PositionText), new("aliases", parameter.Aliases.Count == 0 ? "none" : string.Join(", ", parameter.Aliases)),
    ];

    private static string Say(bool value) => value ? "true" : "false";
}
