using System.Management.Automation;
using System.Reflection;
using System.Xml.Linq;

namespace PoeOps.Help;

/// <summary>Reads the parameters of a cmdlet from its properties, their attributes and their comments.</summary>
/// <param name="comments">The comments.</param>
internal sealed class ParameterReader(DocComments comments)
{
    /// <summary>The parameters of a cmdlet in the order in which they are declared, those of its base classes last, -WhatIf and -Confirm at the end.</summary>
    /// <param name="type">The class.</param>
    public IReadOnlyList<ParameterHelp> Of(Type type)
    {
        object cmdlet = Activator.CreateInstance(type)!;
        List<ParameterHelp> parameters = [.. type.GetProperties().Where(property => Attributes(property, "ParameterAttribute").Any()).Select(property => Of(property, cmdlet))];
        (cmdlet as IDisposable)?.Dispose();
        CustomAttributeData attribute = Attributes(type, "CmdletAttribute").Single();
        if (attribute.Setting<bool>("SupportsShouldProcess"))
        {
            XElement? comment = comments.Of(type);
            parameters.Add(Common("WhatIf", "wi", DocText.Paragraphs(comment?.Element("whatif"))));
            parameters.Add(Common("Confirm", "cf", [.. DocText.Paragraphs(comment?.Element("confirm")), WhenAsked((ConfirmImpact)(attribute.Setting<int?>("ConfirmImpact") ?? (int)ConfirmImpact.Medium))]));
        }

        return parameters;
    }

    /// <summary>The attributes of a name: by name, because the reference assembly's own objects hold nothing.</summary>
    public static IEnumerable<CustomAttributeData> Attributes(MemberInfo member, string name) =>
        member.CustomAttributes.Where(attribute => attribute.AttributeType.Name == name);

    private ParameterHelp Of(PropertyInfo property, object cmdlet)
    {
        XElement? comment = comments.Of(property);
        Type? taken = TypeText.EnumOf(property.PropertyType);
        string[] set = [.. Attributes(property, "ValidateSetAttribute").SelectMany(attribute => attribute.Texts())];
        return new ParameterHelp
        {
            Name = property.Name,
            TypeName = TypeText.NameOf(property.PropertyType),
            Text = [.. DocText.Paragraphs(comment?.Element("summary")), .. Limits(property, taken, set)],
            Aliases = [.. Attributes(property, "AliasAttribute").SelectMany(attribute => attribute.Texts())],
            DefaultValue = comment?.Element("value") is { } value ? DocText.Line(value) : DefaultText.Of(cmdlet, property),
            Values = taken is null ? set : Enum.GetNames(taken),
            IsSwitch = property.PropertyType == typeof(SwitchParameter),
            Places = [.. Attributes(property, "ParameterAttribute").Select(Place)],
        };
    }

    private static ParameterPlace Place(CustomAttributeData attribute) => new(
        attribute.Setting<string>("ParameterSetName") ?? ParameterPlace.AllSets, attribute.Setting<bool>("Mandatory"), attribute.Setting<int?>("Position"),
        attribute.Setting<bool>("ValueFromPipeline"), attribute.Setting<bool>("ValueFromPipelineByPropertyName"));

    private IEnumerable<string> Limits(PropertyInfo property, Type? taken, string[] set)
    {
        if (taken is not null)
        {
            yield return $"Accepted values: {string.Join(", ", Enum.GetNames(taken))}.";
            foreach (FieldInfo value in taken.GetFields(BindingFlags.Public | BindingFlags.Static))
            {
                if (DocText.Line(comments.Of(value)?.Element("summary")) is { Length: > 0 } text)
                {
                    yield return $"- {value.Name}: {text}";
                }
            }
        }
        else if (set.Length > 0)
        {
            yield return $"Accepted values: {string.Join(", ", set)}.";
        }

        foreach (object?[] limits in Attributes(property, "ValidateRangeAttribute").Select(attribute => attribute.Values().ToArray()))
        {
            yield return FormattableString.Invariant($"Accepted values: {limits[0]} to {limits[1]}.");
        }
    }

    private static string WhenAsked(ConfirmImpact impact) => impact switch
    {
        ConfirmImpact.None => "It never asks.",
        ConfirmImpact.Low => "It asks where this is given, or where $ConfirmPreference is Low.",
        ConfirmImpact.Medium => "It asks where this is given, or where $ConfirmPreference is Medium or Low.",
        _ => "It asks unless -Confirm:$false is given, or $ConfirmPreference is None.",
    };

    private static ParameterHelp Common(string name, string alias, IReadOnlyList<string> text) => new()
    {
        Name = name,
        TypeName = "switch",
        Text = text,
        Aliases = [alias],
        DefaultValue = "False",
        IsSwitch = true,
        Places = [new ParameterPlace(ParameterPlace.AllSets, false, null, false, false)],
    };
}
