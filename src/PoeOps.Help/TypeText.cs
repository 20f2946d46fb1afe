using System.Collections;
using System.Management.Automation;
using System.Net;

namespace PoeOps.Help;

/// <summary>The names of types, and the words that they take, as PowerShell shows them.</summary>
internal static class TypeText
{
    // The short names that Windows PowerShell 5.1 and PowerShell 7 know alike, as far as the module's parameters use them.
    private static readonly Dictionary<Type, string> Short = new()
    {
        [typeof(bool)] = "bool",
        [typeof(int)] = "int",
        [typeof(long)] = "long",
        [typeof(double)] = "double",
        [typeof(decimal)] = "decimal",
        [typeof(string)] = "string",
        [typeof(DateTime)] = "datetime",
        [typeof(TimeSpan)] = "timespan",
        [typeof(Guid)] = "guid",
        [typeof(Version)] = "version",
        [typeof(Hashtable)] = "hashtable",
        [typeof(ScriptBlock)] = "scriptblock",
        [typeof(SwitchParameter)] = "switch",
        [typeof(PSCredential)] = "pscredential",
        [typeof(PSObject)] = "psobject",
        [typeof(IPAddress)] = "ipaddress",
        [typeof(Uri)] = "uri",
    };

    /// <summary>The name on the line of a syntax.</summary>
    public static string NameOf(Type type) =>
        type.IsArray ? $"{NameOf(type.GetElementType()!)}[]"
        : Nullable.GetUnderlyingType(type) is { } inner ? NameOf(inner)
        : Short.GetValueOrDefault(type, type == typeof(object) ? "Object" : type.Name);

    /// <summary>The enum that a parameter takes values of, or null.</summary>
    public static Type? EnumOf(Type type)
    {
        Type element = type.IsArray ? type.GetElementType()! : type;
        Type value = Nullable.GetUnderlyingType(element) ?? element;
        return value.IsEnum ? value : null;
    }
}
