using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

public sealed class NaturalOrderTests
{
    [Fact]
    public void Numbers_count_by_value_and_letters_without_case()
    {
        string[] names = ["7b", "10", "a2", "left-12", "9", "b", "A10", "", "2", "007a", "left-2", "1", "A1"];
        Assert.Equal(["", "1", "2", "007a", "7b", "9", "10", "A1", "a2", "A10", "b", "left-2", "left-12"], names.Order(NaturalOrder.Instance));
    }

    [Fact]
    public void Numbers_of_any_length_are_compared() =>
        Assert.True(NaturalOrder.Instance.Compare("1" + new string('0', 40), "9" + new string('9', 38)) > 0);

    [Fact]
    public void Null_stands_for_nothing()
    {
        Assert.Equal(0, NaturalOrder.Instance.Compare(null, ""));
        Assert.True(NaturalOrder.Instance.Compare(null, "a") < 0);
    }

    [Fact]
    public void It_is_an_order()
    {
        Random chance = new(11);
        string[] names = [.. Enumerable.Range(0, 60).Select(_ => new string([.. Enumerable.Range(0, chance.Next(5)).Select(_ => "019aA-/"[chance.Next(7)])])).Distinct()];
        foreach (string a in names)
        {
            foreach (string b in names)
            {
                Assert.Equal(Math.Sign(NaturalOrder.Instance.Compare(a, b)), -Math.Sign(NaturalOrder.Instance.Compare(b, a)));
                Assert.Equal(a == b, NaturalOrder.Instance.Compare(a, b) == 0);
                Assert.DoesNotContain(names, c => NaturalOrder.Instance.Compare(a, b) < 0 && NaturalOrder.Instance.Compare(b, c) < 0 && NaturalOrder.Instance.Compare(a, c) >= 0);
            }
        }
    }
}
