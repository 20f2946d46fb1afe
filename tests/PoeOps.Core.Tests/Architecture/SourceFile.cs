using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PoeOps.Core.Tests.Architecture;

/// <summary>A C# file as the architecture rules see it: its path from the root of the clone, with '/', and its text.</summary>
internal sealed class SourceFile(string path, string text)
{
    public string Path { get; } = path;

    public string Text { get; } = text;

    /// <summary>The syntax tree: names in comments and strings are not in it, names in the holes of a string are.</summary>
    public CompilationUnitSyntax Tree { get; } =
        CSharpSyntaxTree.ParseText(text, new CSharpParseOptions(LanguageVersion.Preview)).GetCompilationUnitRoot();

    /// <summary>Where something stands, as `path:line`.</summary>
    public string At(SyntaxNodeOrToken place) => At(place.SpanStart);

    /// <summary>Where an offset stands, as `path:line`.</summary>
    public string At(int offset) => $"{Path}:{1 + Text.AsSpan(0, offset).Count('\n')}";
}
