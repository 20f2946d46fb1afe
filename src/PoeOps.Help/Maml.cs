using System.Globalization;
using System.Xml.Linq;

namespace PoeOps.Help;

/// <summary>The elements that say what a cmdlet is.</summary>
internal static class Maml
{
    /// <summary>The namespace of texts.</summary>
    public static readonly XNamespace Text = "http://schemas.microsoft.com/maml/2004/10";

    /// <summary>The namespace of commands.</summary>
    public static readonly XNamespace Command = "http://schemas.microsoft.com/maml/dev/command/2004/10";

    /// <summary>The namespace of types and code.</summary>
    public static readonly XNamespace Dev = "http://schemas.microsoft.com/maml/dev/2004/10";

    /// <summary>A cmdlet.</summary>
    public static XElement Of(CmdletHelp cmdlet)
    {
        string[] name = cmdlet.Name.Split('-');
        return new XElement(
            Command + "command",
            new XElement(
                Command + "details", new XElement(Command + "name", cmdlet.Name), new XElement(Text + "description", Para(cmdlet.Synopsis)),
                new XElement(Command + "verb", name[0]), new XElement(Command + "noun", name[1])),
            new XElement(Text + "description", cmdlet.Description.Select(Para)),
            new XElement(Command + "syntax", cmdlet.Sets.Select(set => MamlParameters.Syntax(cmdlet, set))),
            new XElement(Command + "parameters", cmdlet.Parameters.OrderBy(parameter => parameter.Name, StringComparer.Ordinal).Select(MamlParameters.Full)),
            new XElement(Command + "inputTypes", cmdlet.Inputs.Select(input => Type(Command + "inputType", input))),
            new XElement(Command + "returnValues", cmdlet.Outputs.Select(output => Type(Command + "returnValue", output))),
            new XElement(Text + "alertSet", new XElement(Text + "alert", cmdlet.Notes.Select(Para))),
            new XElement(Command + "examples", cmdlet.Examples.Select(Example)),
            new XElement(Command + "relatedLinks", cmdlet.Links.Select(Link)));
    }

    /// <summary>A paragraph.</summary>
    public static XElement Para(string text) => new(Text + "para", text);

    private static XElement Type(XName name, TypeHelp type) =>
        new(name, new XElement(Dev + "type", new XElement(Text + "name", type.Name)), new XElement(Text + "description", Para(type.Text)));

    private static XElement Example(ExampleHelp example, int index) => new(
        Command + "example",
        new XElement(Text + "title", string.Create(CultureInfo.InvariantCulture, $"-------------------------- Example {index + 1} --------------------------")),
        new XElement(Text + "introduction", Para("PS> ")),
        new XElement(Dev + "code", example.Code),
        // The empty lines keep the next example at a distance.
        new XElement(Dev + "remarks", Para(example.Text), Para(string.Empty), Para(string.Empty)));

    private static XElement Link(string link) => new(Text + "navigationLink", new XElement(Text + "linkText", link), new XElement(Text + "uri"));
}
