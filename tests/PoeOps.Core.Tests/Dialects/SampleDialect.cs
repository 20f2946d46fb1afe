using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>A dialect of an invented family that has every kind of object, for tests that spoil one thing in it.</summary>
internal static partial class SampleDialect
{
    /// <summary>The sample, read.</summary>
    public static Dialect Read() => Of(Text);

    /// <summary>A dialect that must have no mistake.</summary>
    public static Dialect Of(string text)
    {
        DialectResult result = DialectFile.Parse(text, "a.dialect.json");
        Assert.Empty(Told.Of(result.Problems));
        return result.Dialect!;
    }

    /// <summary>The sample with one thing in it changed.</summary>
    public static string With(string right, string wrong)
    {
        Assert.Contains(right, Text);
        return Text.Replace(right, wrong, StringComparison.Ordinal);
    }
}
