namespace PoeOps.Core.Tests.Architecture;

/// <summary>The rules themselves, tried on texts that break each of them and on texts that only look as if they did.</summary>
public sealed class ArchitectureRuleTests
{
    private static readonly SourceFile StopRule = new("src/PoeOps.Core/Refresh/StopRule.cs", "namespace PoeOps.Refresh; public sealed class StopRule { }");

    [Theory]
    [InlineData("a using line", "using PoeOps.Refresh;\nnamespace PoeOps.Power;\nclass C { }")]
    [InlineData("a static using line", "using static PoeOps.Refresh.StopRule;\nnamespace PoeOps.Power;\nclass C { }")]
    [InlineData("an alias", "using R = PoeOps.Refresh;\nnamespace PoeOps.Power;\nclass C { }")]
    [InlineData("an alias of a type", "using R = global::PoeOps.Refresh.StopRule;\nnamespace PoeOps.Power;\nclass C { }")]
    [InlineData("a using line inside the namespace", "namespace PoeOps.Power { using Refresh; class C { StopRule? r; } }")]
    [InlineData("a full name", "namespace PoeOps.Power;\nclass C { PoeOps.Refresh.StopRule? rule; }")]
    [InlineData("a full name over two lines", "namespace PoeOps.Power;\nclass C { global::PoeOps.\n  Refresh.StopRule? rule; }")]
    [InlineData("a name through the parent namespace", "namespace PoeOps.Power;\nclass C { Refresh.StopRule? rule; }")]
    [InlineData("a member through the parent namespace", "namespace PoeOps.Power;\nclass C { object o = Refresh.StopRule.Default; }")]
    [InlineData("a name in the hole of a string", "namespace PoeOps.Power;\nclass C { string s = $\"{Refresh.StopRule.Default}\"; }")]
    [InlineData("a generic argument", "namespace PoeOps.Power;\nclass C { System.Collections.Generic.List<Refresh.StopRule>? rules; }")]
    public void An_upward_arrow_is_found_however_it_is_written(string how, string text)
    {
        string sentence = Assert.Single(CheckOrder("src/PoeOps.Core/Power/C.cs", text));

        Assert.True(sentence.EndsWith("'Power' uses 'Refresh', which comes after it.", StringComparison.Ordinal), $"{how}: {sentence}");
    }

    [Theory]
    [InlineData("a downward arrow", "using PoeOps.Power;\nnamespace PoeOps.Report;\nclass C { Refresh.StopRule? rule; }")]
    [InlineData("the root", "using PoeOps;\nnamespace PoeOps.Report;\nclass C { }")]
    [InlineData("its own folder", "using PoeOps.Report;\nnamespace PoeOps.Report;\nclass C { }")]
    [InlineData("a comment and a string", "namespace PoeOps.Report;\n// PoeOps.Nowhere.X\nclass C { string s = \"PoeOps.Nowhere.X\"; }")]
    public void What_the_order_allows_is_not_reported(string how, string text) =>
        Assert.True(CheckOrder("src/PoeOps.Core/Report/C.cs", text).Count == 0, how);

    [Fact]
    public void A_property_that_bears_the_name_of_a_later_folder_is_no_arrow() =>
        Assert.Empty(CheckOrder("src/PoeOps.Core/Power/C.cs", "namespace PoeOps.Power;\nclass C { int[] Refresh = []; int N => Refresh.Length; }"));

    [Fact]
    public void A_comment_or_a_string_is_no_arrow() =>
        Assert.Empty(CheckOrder("src/PoeOps.Core/Power/C.cs", "namespace PoeOps.Power;\n// PoeOps.Refresh.StopRule\nclass C { string s = \"PoeOps.Refresh.StopRule\"; }"));

    [Fact]
    public void A_circle_is_found_at_the_arrow_that_points_back() =>
        Assert.Equal(
            ["src/PoeOps.Core/Estate/A.cs:1: 'Estate' uses 'Planning', which comes after it."],
            FolderOrder.Check(
            [
                new SourceFile("src/PoeOps.Core/Estate/A.cs", "using PoeOps.Planning;\nnamespace PoeOps.Estate;\nclass A { }"),
                new SourceFile("src/PoeOps.Core/Planning/B.cs", "using PoeOps.Estate;\nnamespace PoeOps.Planning;\nclass B { }"),
            ]));

    [Fact]
    public void The_root_uses_no_folder() =>
        Assert.Equal(
            ["src/PoeOps.Core/Problem.cs:1: the root uses 'Files', which comes after it."],
            CheckOrder("src/PoeOps.Core/Problem.cs", "using PoeOps.Files;\nnamespace PoeOps;\nclass C { }"));

    [Fact]
    public void A_folder_without_a_place_is_refused() =>
        Assert.Equal(
            ["src/PoeOps.Core/Attic/C.cs: the folder 'Attic' has no place in the order; give it one in FolderOrder."],
            CheckOrder("src/PoeOps.Core/Attic/C.cs", "namespace PoeOps.Attic;\nclass C { }"));

    [Fact]
    public void The_namespace_is_that_of_the_folder() =>
        Assert.Equal(
            ["src/PoeOps.Core/Power/C.cs:2: the namespace is 'PoeOps.Estate', but the folder makes it 'PoeOps.Power'."],
            CheckOrder("src/PoeOps.Core/Power/C.cs", "\nnamespace PoeOps.Estate;\nclass C { }"));

    [Fact]
    public void A_type_outside_every_namespace_is_refused() =>
        Assert.Equal(
            ["src/PoeOps.Core/Power/C.cs:1: a type stands outside 'PoeOps.Power', the namespace of its folder."],
            CheckOrder("src/PoeOps.Core/Power/C.cs", "class C { }"));

    [Fact]
    public void A_global_using_is_refused_even_where_the_order_allows_it() =>
        Assert.Equal(
            ["src/PoeOps.Core/Report/C.cs:1: a global using hides what each file uses; write it in the files that need it."],
            CheckOrder("src/PoeOps.Core/Report/C.cs", "global using PoeOps.Power;\nnamespace PoeOps.Report;\nclass C { }"));

    [Theory]
    [InlineData("class C { } // Posh-SSH", "src/PoeOps.Core/C.cs:1: 'Posh-SSH' may stand only in src/PoeOps.Cmdlets/PoshSsh.cs.")]
    [InlineData("\nclass C { string s = \"New-SSHSession\"; }", "src/PoeOps.Core/C.cs:2: 'New-SSHSession' may stand only in src/PoeOps.Cmdlets/PoshSsh.cs.")]
    [InlineData("using Renci.SshNet;", "src/PoeOps.Core/C.cs:1: 'Renci' may stand only in src/PoeOps.Cmdlets/PoshSsh.cs.")]
    [InlineData("// TODO", "src/PoeOps.Core/C.cs:1: 'TODO': do it, or file it; not in the code.")]
    [InlineData("class C { void M() { try { M(); } catch { } } }", "src/PoeOps.Core/C.cs:1: an empty catch loses what went wrong.")]
    [InlineData("class C { void M() { try { M(); }\ncatch (System.Exception e) when (e.Data.Count > (1)) { /* never mind */ } } }", "src/PoeOps.Core/C.cs:2: an empty catch loses what went wrong.")]
    public void A_broken_house_rule_is_found(string text, string sentence) =>
        Assert.Equal([sentence], HouseRules.Check([new SourceFile("src/PoeOps.Core/C.cs", text)]));

    [Theory]
    [InlineData("class C { object Of() => EstateFile.Read(\"a\"); }", "src/PoeOps.Core/C.cs:1: 'EstateFile.Read' does not ask whether time zones are there: use CheckedEstate.")]
    [InlineData("class C { object Of() => EstateFile.ReadCsv(\"a\", 1); }", "src/PoeOps.Core/C.cs:1: 'EstateFile.ReadCsv' does not ask whether time zones are there: use CheckedEstate.")]
    public void An_estate_is_read_with_its_zones_checked(string text, string sentence)
    {
        Assert.Equal([sentence], HouseRules.Check([new SourceFile("src/PoeOps.Core/C.cs", text)]));
        Assert.Empty(HouseRules.Check([new SourceFile("src/PoeOps.Core/Calendar/CheckedEstate.cs", text)]));
    }

    [Fact]
    public void Posh_SSH_may_be_named_in_its_own_file() =>
        Assert.Empty(HouseRules.Check([new SourceFile("src/PoeOps.Cmdlets/PoshSsh.cs", "// Posh-SSH\\New-SSHSession")]));

    private static IReadOnlyList<string> CheckOrder(string path, string text) =>
        FolderOrder.Check([new SourceFile(path, text), StopRule]);
}
