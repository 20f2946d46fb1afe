using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PoeOps.Core.Tests.Architecture;

/// <summary>
/// The order of the folders in src/PoeOps.Core. A folder may use those before it and the files of the root;
/// the root uses no folder. So the arrows can neither point back nor close a circle.
/// </summary>
internal static class FolderOrder
{
    public static readonly string[] Folders =
    [
        "Files", "Power", "Estate", "Dialects", "Snmp", "Baselines", "Images", "Outages", "Calendar",
        "Planning", "Refresh", "Terminal", "Journal", "Report",
    ];

    private const string Core = "src/PoeOps.Core/";

    /// <summary>One sentence for each place that breaks the order.</summary>
    public static IReadOnlyList<string> Check(IEnumerable<SourceFile> sources)
    {
        List<SourceFile> files = [.. sources];
        HashSet<(string Folder, string Type)> types = [.. files.SelectMany(TypesOf)];
        return [.. files.SelectMany(file => Check(file, types))];
    }

    private static IEnumerable<string> Check(SourceFile file, HashSet<(string Folder, string Type)> types)
    {
        string folder = FolderOf(file);
        if (folder.Length > 0 && !Folders.Contains(folder))
        {
            return [$"{file.Path}: the folder '{folder}' has no place in the order; give it one in FolderOrder."];
        }

        return [.. Namespaces(file), .. GlobalUsings(file), .. Arrows(file, folder, types)];
    }

    private static IEnumerable<string> Namespaces(SourceFile file)
    {
        string directory = file.Path[Core.Length..];
        string expected = string.Join('.', directory.Split('/')[..^1].Prepend("PoeOps"));
        foreach (BaseNamespaceDeclarationSyntax space in file.Tree.DescendantNodes().OfType<BaseNamespaceDeclarationSyntax>())
        {
            if (Plain(space.Name.ToString()) != expected)
            {
                yield return $"{file.At(space)}: the namespace is '{space.Name}', but the folder makes it '{expected}'.";
            }
        }

        foreach (MemberDeclarationSyntax type in file.Tree.Members.Where(IsType))
        {
            yield return $"{file.At(type)}: a type stands outside '{expected}', the namespace of its folder.";
        }
    }

    private static bool IsType(MemberDeclarationSyntax member) => member is BaseTypeDeclarationSyntax or DelegateDeclarationSyntax;

    private static IEnumerable<string> GlobalUsings(SourceFile file) =>
        file.Tree.Usings.Where(line => line.GlobalKeyword.Text.Length > 0)
            .Select(line => $"{file.At(line)}: a global using hides what each file uses; write it in the files that need it.");

    private static IEnumerable<string> Arrows(SourceFile file, string folder, HashSet<(string Folder, string Type)> types)
    {
        int place = Array.IndexOf(Folders, folder);
        return Names(file)
            .Select(name => (name.At, Target: Target(name.Text, types)))
            .Where(arrow => arrow.Target is not null && Array.IndexOf(Folders, arrow.Target) > place)
            .Select(arrow => $"{arrow.At}: {(place < 0 ? "the root" : $"'{folder}'")} uses '{arrow.Target}', which comes after it.")
            .Distinct();
    }

    /// <summary>The using lines (plain, static and alias) and every dotted name outside them.</summary>
    private static IEnumerable<(string At, string Text)> Names(SourceFile file)
    {
        IEnumerable<(string, string)> lines = file.Tree.DescendantNodes().OfType<UsingDirectiveSyntax>()
            .Select(line => (file.At(line), Full(Plain(line.NamespaceOrType.ToString()))));
        IEnumerable<(string, string)> dotted = file.Tree.DescendantNodes(node => node is not UsingDirectiveSyntax)
            .Where(node => node is QualifiedNameSyntax or MemberAccessExpressionSyntax)
            .Where(node => node.Parent is not BaseNamespaceDeclarationSyntax)
            .Select(node => (file.At(node), Plain(node.ToString())));
        return lines.Concat(dotted);
    }

    /// <summary>The folder that a name leads into, or null: `PoeOps.Folder…`, or `Folder.Type`, which the parent namespace allows.</summary>
    private static string? Target(string name, HashSet<(string Folder, string Type)> types)
    {
        string[] parts = name.Split('.', '<', '(', '[');
        if (parts is ["PoeOps", var folder, ..] && Folders.Contains(folder))
        {
            return folder;
        }

        return parts is [var first, var type, ..] && types.Contains((first, type)) ? first : null;
    }

    /// <summary>Inside a namespace of ours `using Folder` means `using PoeOps.Folder`.</summary>
    private static string Full(string name) => Folders.Contains(name.Split('.')[0]) ? "PoeOps." + name : name;

    private static string Plain(string name) =>
        string.Concat(name.Where(c => !char.IsWhiteSpace(c))).Replace("global::", "", StringComparison.Ordinal);

    private static IEnumerable<(string Folder, string Type)> TypesOf(SourceFile file) =>
        file.Tree.DescendantNodes().Where(node => node is BaseTypeDeclarationSyntax or DelegateDeclarationSyntax)
            .Select(node => node is BaseTypeDeclarationSyntax type ? type.Identifier.Text : ((DelegateDeclarationSyntax)node).Identifier.Text)
            .Select(name => (FolderOf(file), name));

    private static string FolderOf(SourceFile file)
    {
        string inside = file.Path[Core.Length..];
        return inside.Contains('/', StringComparison.Ordinal) ? inside[..inside.IndexOf('/', StringComparison.Ordinal)] : "";
    }
}
