using System.Collections.ObjectModel;
using System.Reflection;

namespace PoeOps.Help;

/// <summary>What stands in an attribute.</summary>
internal static class AttributeValues
{
    /// <summary>A setting by its name; the type's default where it is not set.</summary>
    public static T? Setting<T>(this CustomAttributeData attribute, string name) =>
        attribute.NamedArguments.FirstOrDefault(argument => argument.MemberName == name).TypedValue.Value is T value ? value : default;

    /// <summary>What its constructor was given, lists taken apart.</summary>
    public static IEnumerable<object?> Values(this CustomAttributeData attribute) =>
        attribute.ConstructorArguments.SelectMany(Flat).Select(argument => argument.Value);

    /// <summary>The texts that its constructor was given.</summary>
    public static IEnumerable<string> Texts(this CustomAttributeData attribute) => attribute.Values().OfType<string>();

    private static IEnumerable<CustomAttributeTypedArgument> Flat(CustomAttributeTypedArgument argument) =>
        argument.Value is ReadOnlyCollection<CustomAttributeTypedArgument> items ? items.SelectMany(Flat) : [argument];
}
