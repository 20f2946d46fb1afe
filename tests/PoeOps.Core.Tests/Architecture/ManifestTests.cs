using System.Reflection;
using System.Text.RegularExpressions;

namespace PoeOps.Core.Tests.Architecture;

public sealed partial class ManifestTests
{
    private static readonly string Manifest = File.ReadAllText(Repository.Path("PoeOps.psd1"));

    [Theory]
    [InlineData("PoeOps.Core.dll")]
    [InlineData("PoeOps.Rehearsal.dll")]
    [InlineData("PoeOps.Cmdlets.dll")]
    public void The_assemblies_carry_the_version_of_the_manifest(string assembly)
    {
        Version version = AssemblyName.GetAssemblyName(Repository.Path("module", "bin", assembly)).Version!;

        Assert.Equal(VersionLine().Match(Manifest).Groups["version"].Value, version.ToString(3));
    }

    [Fact]
    public void The_manifest_lists_exactly_the_cmdlets_of_the_assembly()
    {
        using ModuleMetadata module = new();

        Assert.Equal(module.Cmdlets.Select(cmdlet => cmdlet.Name), ListedCmdlets().Order(StringComparer.Ordinal));
    }

    [Fact]
    public void The_manifest_nests_the_assembly_because_a_root_module_hides_the_help()
    {
        Assert.Contains("NestedModules          = @('module/bin/PoeOps.Cmdlets.dll', 'module/PoeOps.Topics.psd1')", Manifest, StringComparison.Ordinal);
        Assert.DoesNotMatch(@"(?m)^\s*RootModule", Manifest);
    }

    private static IEnumerable<string> ListedCmdlets() =>
        QuotedName().Matches(CmdletList().Match(Manifest).Groups["list"].Value).Select(match => match.Groups["name"].Value);

    [GeneratedRegex(@"^\s*ModuleVersion\s*=\s*'(?<version>[^']+)'", RegexOptions.Multiline)]
    private static partial Regex VersionLine();

    [GeneratedRegex(@"CmdletsToExport\s*=\s*@\((?<list>[^)]*)\)")]
    private static partial Regex CmdletList();

    [GeneratedRegex("'(?<name>[^']+)'")]
    private static partial Regex QuotedName();
}
