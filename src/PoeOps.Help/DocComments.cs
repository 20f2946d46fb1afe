using System.Reflection;
using System.Xml.Linq;

namespace PoeOps.Help;

/// <summary>The comments of assemblies, from the XML documentation that lies beside each.</summary>
internal sealed class DocComments
{
    private readonly Dictionary<string, Dictionary<string, XElement>> _read = new(StringComparer.Ordinal);

    /// <summary>The comment of a type, or null.</summary>
    public XElement? Of(Type type) => Find(type, $"T:{Id(type)}");

    /// <summary>The comment of an enum's value, or null.</summary>
    public XElement? Of(FieldInfo value) => Find(value.DeclaringType!, $"F:{Id(value.DeclaringType!)}.{value.Name}");

    /// <summary>The comment of a property; one that is inherited is taken from the class that has the text.</summary>
    public XElement? Of(PropertyInfo property)
    {
        for (Type? type = property.DeclaringType; type is not null; type = type.BaseType)
        {
            XElement? comment = Find(type, $"P:{Id(type)}.{property.Name}");
            if (comment?.Element("inheritdoc") is null && comment is not null)
            {
                return comment;
            }
        }

        return null;
    }

    private static string Id(Type type) => (type.FullName ?? type.Name).Replace('+', '.');

    private XElement? Find(Type type, string id)
    {
        string path = Path.ChangeExtension(type.Assembly.Location, ".xml");
        if (!_read.TryGetValue(path, out Dictionary<string, XElement>? comments))
        {
            comments = File.Exists(path)
                ? XDocument.Load(path).Descendants("member").ToDictionary(member => (string)member.Attribute("name")!, StringComparer.Ordinal)
                : [];
            _read.Add(path, comments);
        }

        return comments.GetValueOrDefault(id);
    }
}
