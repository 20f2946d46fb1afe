using System.Reflection;

namespace PoeOps.Rehearsal.Tests;

public sealed class AssemblyTests
{
    [Fact]
    public void The_rehearsal_is_part_of_the_module_and_carries_its_version() =>
        Assert.Equal(Assembly.Load("PoeOps.Core").GetName().Version, Assembly.Load("PoeOps.Rehearsal").GetName().Version);
}
