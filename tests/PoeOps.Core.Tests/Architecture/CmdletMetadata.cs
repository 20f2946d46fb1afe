using System.Collections.ObjectModel;
using System.Reflection;

namespace PoeOps.Core.Tests.Architecture;

/// <summary>What a cmdlet shows to the world, read from its attributes.</summary>
internal sealed class CmdletMetadata
{
    private readonly CustomAttributeData _cmdlet;

    public CmdletMetadata(Type type)
    {
        Type = type;
        _cmdlet = AttributesOf(type, "CmdletAttribute").Single();
        Name = $"{_cmdlet.ConstructorArguments[0].Value}-{_cmdlet.ConstructorArguments[1].Value}";
    }

    public Type Type { get; }

    public string Name { get; }

    /// <summary>The settings of the [Cmdlet] attribute beyond verb and noun.</summary>
    public IEnumerable<string> Settings => SettingsOf(_cmdlet);

    public IEnumerable<Type> OutputTypes =>
        AttributesOf(Type, "OutputTypeAttribute").SelectMany(attribute => attribute.ConstructorArguments).SelectMany(Flatten)
            .Select(argument => argument.Value).OfType<Type>();

    /// <summary>The parameters, inherited ones too, in the order of their names.</summary>
    public IEnumerable<PropertyInfo> Parameters =>
        Type.GetProperties().Where(property => AttributesOf(property, "ParameterAttribute").Any())
            .OrderBy(property => property.Name, StringComparer.Ordinal);

    /// <summary>A line for each set that a parameter is in, and one for each other attribute on it.</summary>
    public static IEnumerable<string> DescribeParameter(PropertyInfo parameter)
    {
        IEnumerable<string> sets = AttributesOf(parameter, "ParameterAttribute")
            .Select(attribute => string.Join(' ', SettingsOf(attribute).Prepend("in")));
        IEnumerable<string> others = parameter.CustomAttributes
            .Where(attribute => attribute.AttributeType.Namespace == "System.Management.Automation" && attribute.AttributeType.Name != "ParameterAttribute")
            .Select(attribute => $"[{attribute.AttributeType.Name.Replace("Attribute", "", StringComparison.Ordinal)}"
                + $"({string.Join(", ", attribute.ConstructorArguments.SelectMany(Flatten).Select(Print))})]");
        return sets.Concat(others).Order(StringComparer.Ordinal);
    }

    /// <summary>The attributes of a name, by name because the types of two load contexts are never equal.</summary>
    public static IEnumerable<CustomAttributeData> AttributesOf(MemberInfo member, string name) =>
        member.CustomAttributes.Where(attribute => attribute.AttributeType.Name == name);

    private static IEnumerable<string> SettingsOf(CustomAttributeData attribute) =>
        attribute.NamedArguments.Where(argument => argument.MemberName is not ("HelpMessage" or "HelpUri"))
            .Select(argument => $"{argument.MemberName}={Print(argument.TypedValue)}")
            .Order(StringComparer.Ordinal);

    private static IEnumerable<CustomAttributeTypedArgument> Flatten(CustomAttributeTypedArgument argument) =>
        argument.Value is ReadOnlyCollection<CustomAttributeTypedArgument> items ? items.SelectMany(Flatten) : [argument];

    /// <summary>An enum's value comes as its number; its name says more and survives a renumbering.</summary>
    private static string Print(CustomAttributeTypedArgument argument) =>
        argument.ArgumentType.IsEnum
            ? argument.ArgumentType.GetFields(BindingFlags.Public | BindingFlags.Static)
                .FirstOrDefault(field => Equals(field.GetRawConstantValue(), argument.Value))?.Name ?? $"{argument.Value}"
            : argument.Value is Type type ? SurfaceText.NameOf(type) : FormattableString.Invariant($"{argument.Value}");
}
