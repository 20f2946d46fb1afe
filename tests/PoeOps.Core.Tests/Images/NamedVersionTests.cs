using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Versions in names of files, held against the spelling of a baseline.</summary>
public sealed class NamedVersionTests
{
    [Theory]
    [InlineData("kelp-3.10.2.img", "3.10.2", "3.10.2")]
    [InlineData("kelp-3.10.2.img", "v3.10.2", "3.10.2")]
    [InlineData("kelp-3.10.2.img", "kl_3_10_2", "3.10.2")]
    [InlineData("kl_3_10_2.bin", "3.10.2", "3_10_2")]
    [InlineData("oakum-R3-B10p2.img", "R3-B10p2", "R3-B10p2")]
    [InlineData("oakum-R3-B10p2.img", "3.10-p2", "R3-B10p2")]
    [InlineData("oakum-3.10-p2.img", "R3-B10p2", "3.10-p2")]
    [InlineData("KELP-V03.010.2.IMG", "3.10.2", "V03.010.2")]
    [InlineData("kelp-3.12.img", "3.12.0", "3.12")]
    [InlineData("kelp-3.12.0.img", "3.12", "3.12.0")]
    [InlineData("kl48-3.10.2.img", "3.10.2", "3.10.2")]
    [InlineData("kl48_3_10_2.img", "3.10.2", "3_10_2")]
    [InlineData("kl-48p-3.10.2.img", "3.10.2", "3.10.2")]
    [InlineData("sw7.4_pse3.10.2.img", "3.10.2", "3.10.2")]
    [InlineData("pse3.10.2", "3.10.2", "3.10.2")]
    [InlineData("kelp-3.10.2-20261126.img", "3.10.2", "3.10.2")]
    [InlineData("kelp-3.10.2-e790b048.img", "3.10.2", "3.10.2")]
    [InlineData("kelp-3.10.2-signed.tar.gz", "3.10.2", "3.10.2")]
    [InlineData("kelp-3.10.2-1.img", "3.10.2", "3.10.2")]
    [InlineData("kelp-3.10.2a.img", "3.10.2A", "3.10.2a")]
    [InlineData("kelp-3.10.2-rc3.img", "3.10.2rc3", "3.10.2-rc3")]
    [InlineData("kelp-3.10.2-rc.3.img", "3.10.2-rc3", "3.10.2-rc.3")]
    [InlineData("2-R3-B10p2.img", "R3-B10p2", "R3-B10p2")]
    [InlineData("hearth-6a-4.2-r9.img", "4.2-r9", "4.2-r9")]
    [InlineData("hearth_6_4.2-R9.img", "4.2-r9", "4.2-R9")]
    [InlineData("kelp-b12.img", "B12", "b12")]
    [InlineData("kelp-golden.img", "golden", "golden")]
    public void The_same_version_in_another_spelling_is_the_same(string file, string wanted, string text) =>
        Assert.Equal((text, true), Told(file, wanted));

    [Theory]
    [InlineData("kelp-3.9.1.img", "3.10.2", "3.9.1")]
    [InlineData("kelp-13.10.2.img", "3.10.2", "13.10.2")]
    [InlineData("kelp-3.10.21.img", "3.10.2", "3.10.21")]
    [InlineData("kelp-3.10.2.1.img", "3.10.2", "3.10.2.1")]
    [InlineData("kelp-1.3.10.2.img", "3.10.2", "1.3.10.2")]
    [InlineData("kelp-3.10.img", "3.10.2", "3.10")]
    [InlineData("kelp-3.1.02.img", "3.10.2", "3.1.02")]
    [InlineData("oakum-R3-B8p4.img", "R3-B10p2", "R3-B8p4")]
    [InlineData("oakum-R3-B10p2.img", "R3-B10", "R3-B10p2")]
    [InlineData("oakum-3.10-p2.img", "3.10", "3.10-p2")]
    [InlineData("kelp-3.10.2b.img", "3.10.2a", "3.10.2b")]
    [InlineData("kelp-3.10.2b.img", "3.10.2", "3.10.2b")]
    [InlineData("kelp-3.10.2-rc3.img", "3.10.2", "3.10.2-rc3")]
    [InlineData("kelp-3.10-rc2.img", "3.10.2", "3.10-rc2")]
    [InlineData("kelp-3.10.2.img", "3.10.2-rc1", "3.10.2")]
    [InlineData("kl48-3.9.1.img", "3.10.2", "3.9.1")]
    [InlineData("kl48_3_9_1.img", "3.10.2", "3_9_1")]
    [InlineData("kelp-b11.img", "B12", "b11")]
    [InlineData("kelp-3.9.b4", "3.10.2", "3.9")]
    public void Another_version_is_told_with_its_spelling(string file, string wanted, string text) =>
        Assert.Equal((text, false), Told(file, wanted));

    [Theory]
    [InlineData("kelp.img", "3.10.2")]
    [InlineData("kelp48.img", "3.10.2")]
    [InlineData("kelp48.img", "12")]
    [InlineData("kelp-3102.img", "3.10.2")]
    [InlineData("kelp-20261126.img", "3.10.2")]
    [InlineData("e790b048a6d8877b36a4792a415db4bb.img", "3.10.2")]
    [InlineData("kelp-3.10.2.img", "golden")]
    [InlineData("kelp-3.10.2.img", "")]
    [InlineData(".img", "3.10.2")]
    [InlineData("", "3.10.2")]
    public void What_cannot_be_read_is_no_disagreement(string file, string wanted) =>
        Assert.Equal((null, (bool?)null), Told(file, wanted));

    private static (string?, bool?) Told(string file, string wanted) => NamedVersion.InName(file, wanted) is var named ? (named.Text, named.Agrees) : default;
}
