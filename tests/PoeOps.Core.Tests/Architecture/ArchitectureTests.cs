using System.Reflection;
using System.Reflection.Metadata;
using System.Reflection.PortableExecutable;

namespace PoeOps.Core.Tests.Architecture;

public sealed class ArchitectureTests
{
    [Fact]
    public void No_folder_of_Core_uses_one_that_comes_after_it() =>
        Assert.Empty(FolderOrder.Check(Repository.Sources("src/PoeOps.Core")));

    [Theory]
    [InlineData("Directory.Build.props")]
    [InlineData("src/Directory.Build.props")]
    [InlineData("src/PoeOps.Core/PoeOps.Core.csproj")]
    public void No_build_file_adds_using_lines_that_the_sources_do_not_show(string file) =>
        Assert.DoesNotContain("<Using Include", File.ReadAllText(Repository.Path(file)), StringComparison.Ordinal);

    [Fact]
    public void Src_keeps_the_house_rules() => Assert.Empty(HouseRules.Check(Repository.Sources("src")));

    [Theory]
    [InlineData("PoeOps.Core.dll")]
    [InlineData("PoeOps.Rehearsal.dll")]
    public void Core_and_Rehearsal_know_nothing_of_PowerShell(string assembly) =>
        Assert.DoesNotContain(ReferencesOf(Repository.Path("module", "bin", assembly)), IsPowerShell);

    [Theory]
    [InlineData("System.Management.Automation")]
    [InlineData("Microsoft.PowerShell.Commands.Utility")]
    public void An_assembly_of_PowerShell_is_known_by_its_name(string name) => Assert.True(IsPowerShell(name));

    [Fact]
    public void References_are_read_from_the_file() =>
        Assert.Contains("xunit.core", ReferencesOf(typeof(ArchitectureTests).Assembly.Location));

    [Fact]
    public void The_module_ships_the_two_runtime_packages_and_what_they_need_and_nothing_else() =>
        Assert.Equal(
            [
                "Newtonsoft.Json.dll", "NodaTime.dll", "PoeOps.Cmdlets.dll", "PoeOps.Core.dll", "PoeOps.Rehearsal.dll",
                "System.Runtime.CompilerServices.Unsafe.dll",
            ],
            Directory.EnumerateFiles(Repository.Path("module", "bin")).Select(Path.GetFileName).Order(StringComparer.Ordinal));

    [Fact]
    public void Every_shipped_assembly_asks_for_the_very_versions_that_are_shipped_because_5_1_redirects_none()
    {
        Dictionary<string, AssemblyName> shipped = Directory.EnumerateFiles(Repository.Path("module", "bin"), "*.dll")
            .Select(AssemblyName.GetAssemblyName).ToDictionary(name => name.Name!);

        foreach (string path in Directory.EnumerateFiles(Repository.Path("module", "bin"), "*.dll"))
        {
            foreach (AssemblyName wanted in NamesOf(path).Where(name => shipped.ContainsKey(name.Name!)))
            {
                Assert.Equal((path, wanted.FullName), (path, shipped[wanted.Name!].FullName));
            }
        }
    }

    private static bool IsPowerShell(string name) =>
        name.StartsWith("System.Management.Automation", StringComparison.Ordinal) || name.Contains("PowerShell", StringComparison.Ordinal);

    private static IEnumerable<string> ReferencesOf(string path) => NamesOf(path).Select(name => name.Name!);

    private static List<AssemblyName> NamesOf(string path)
    {
        using PEReader file = new(File.OpenRead(path));
        MetadataReader metadata = file.GetMetadataReader();
        return [.. metadata.AssemblyReferences.Select(handle => metadata.GetAssemblyReference(handle).GetAssemblyName())];
    }
}
