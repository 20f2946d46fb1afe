using System.Xml;
using System.Xml.Linq;

namespace PoeOps.Help;

/// <summary>Writes the help of cmdlets in the XML that Get-Help reads, MAML by its namespaces.</summary>
internal static class MamlFile
{
    private static readonly XNamespace Msh = "http://msh";

    /// <summary>Writes a file, whole.</summary>
    /// <param name="path">The file.</param>
    /// <param name="cmdlets">What it is to hold.</param>
    public static void Write(string path, IEnumerable<CmdletHelp> cmdlets)
    {
        XElement root = new(
            Msh + "helpItems", new XAttribute("schema", "maml"), new XAttribute(XNamespace.Xmlns + "maml", Maml.Text), new XAttribute(XNamespace.Xmlns + "command", Maml.Command),
            new XAttribute(XNamespace.Xmlns + "dev", Maml.Dev), cmdlets.Select(Maml.Of));
        using MemoryStream text = new();
        using (var writer = XmlWriter.Create(text, new XmlWriterSettings { Indent = true, NewLineChars = "\n" }))
        {
            root.Save(writer);
        }

        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
        File.WriteAllBytes(path, text.ToArray());
    }
}
