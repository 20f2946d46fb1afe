using System.Reflection;

namespace PoeOps.Core.Tests.Architecture;

/// <summary>Writes the module's public surface as text: what a script may rely on, one fact a line.</summary>
internal static class SurfaceText
{
    public static string Write(ModuleMetadata module) =>
        string.Concat(Lines(module).Select(line => line + '\n'));

    /// <summary>`String[]`, `Nullable&lt;Decimal&gt;`: short for the framework's types, in full for ours.</summary>
    public static string NameOf(Type type)
    {
        if (type.IsArray)
        {
            return NameOf(type.GetElementType()!) + "[]";
        }

        string name = IsOurs(type) ? type.FullName! : type.Name;
        return type.IsGenericType
            ? $"{name[..name.IndexOf('`', StringComparison.Ordinal)]}<{string.Join(", ", type.GetGenericArguments().Select(NameOf))}>"
            : name;
    }

    private static IEnumerable<string> Lines(ModuleMetadata module) =>
    [
        .. module.Cmdlets.SelectMany(Lines),
        .. Reachable(module).OrderBy(NameOf, StringComparer.Ordinal).SelectMany(Lines),
        "problem ids",
        .. ProblemIds().Order(StringComparer.Ordinal).Select(id => $"    {id}"),
    ];

    private static IEnumerable<string> Lines(CmdletMetadata cmdlet) =>
    [
        $"cmdlet {cmdlet.Name}",
        $"    class {cmdlet.Type.FullName}",
        .. cmdlet.Settings.Select(setting => $"    {setting}"),
        .. cmdlet.OutputTypes.Select(type => $"    output {NameOf(type)}"),
        .. cmdlet.Parameters.SelectMany(Lines),
        "",
    ];

    private static IEnumerable<string> Lines(PropertyInfo parameter) =>
        CmdletMetadata.DescribeParameter(parameter).Select(line => $"        {line}")
            .Prepend($"    -{parameter.Name} {NameOf(parameter.PropertyType)}");

    private static IEnumerable<string> Lines(Type type)
    {
        IEnumerable<string> members = type.IsEnum
            ? type.GetFields(BindingFlags.Public | BindingFlags.Static).Select(field => $"{field.Name} = {field.GetRawConstantValue()}")
            : type.GetProperties().Where(property => property.GetMethod is { IsPublic: true, IsStatic: false })
                .Select(property => $"{property.Name} {NameOf(property.PropertyType)}").Order(StringComparer.Ordinal);
        return members.Select(member => $"    {member}").Prepend($"{(type.IsEnum ? "enum" : "type")} {NameOf(type)}").Append("");
    }

    /// <summary>Our types that the parameters and outputs lead to, through properties, arrays and type arguments.</summary>
    private static HashSet<Type> Reachable(ModuleMetadata module)
    {
        HashSet<Type> found = [];
        Queue<Type> waiting = new(module.Cmdlets.SelectMany(cmdlet => cmdlet.OutputTypes.Concat(cmdlet.Parameters.Select(parameter => parameter.PropertyType))));
        while (waiting.TryDequeue(out Type? type))
        {
            foreach (Type part in Parts(type).Where(IsOurs).Where(found.Add))
            {
                foreach (PropertyInfo property in part.GetProperties())
                {
                    waiting.Enqueue(property.PropertyType);
                }
            }
        }

        return found;
    }

    private static IEnumerable<Type> Parts(Type type) =>
        type.HasElementType ? Parts(type.GetElementType()!)
        : type.IsGenericType ? type.GetGenericArguments().SelectMany(Parts).Append(type)
        : [type];

    private static bool IsOurs(Type type) => type.Namespace is "PoeOps" || (type.Namespace?.StartsWith("PoeOps.", StringComparison.Ordinal) ?? false);

    /// <summary>The ids as a script sees them in FullyQualifiedErrorId.</summary>
    private static IEnumerable<string> ProblemIds()
    {
        Type? ids = Assembly.Load("PoeOps.Core").GetType("PoeOps.ProblemId");
        if (ids is null)
        {
            return [];
        }

        return ids.IsEnum
            ? Enum.GetNames(ids)
            : ids.GetFields(BindingFlags.Public | BindingFlags.Static).Select(field => $"{field.GetValue(null)}")
                .Concat(ids.GetProperties(BindingFlags.Public | BindingFlags.Static).Select(property => $"{property.GetValue(null)}"));
    }
}
