using System.Text;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Random changes, the same ones at each run; many more of messages by <c>dotnet run --project tests/PoeOps.Benchmarks fuzz-snmp</c>.</summary>
public sealed class SnmpFuzzTests
{
    [Fact]
    public void A_changed_message_throws_nothing_and_takes_no_memory_beyond_its_size()
    {
        var fuzz = new MessageFuzz(Repository.Path("tests", "PoeOps.Core.Tests", "Snmp", "data", "snmpv3-wire.json"));
        Assert.Equal([], Enumerable.Range(1, 20_000).Select(number => fuzz.Wrong(number)).OfType<string>());
        Assert.InRange(fuzz.Read, 2_000, 38_000);
    }

    // The most that a datagram can be made to hold: names without numbers and values without content.
    [Fact]
    public void A_message_of_the_largest_size_and_the_smallest_parts_is_read_within_its_bounds()
    {
        byte[] bind = [0x30, 0x04, 0x06, 0x00, 0x05, 0x00];
        foreach (int count in new[] { 10_000, SnmpPdu.MostBindings + 1 })
        {
            byte[] list = [.. Enumerable.Repeat(bind, count).SelectMany(one => one)];
            byte[] pdu = [0x02, 0x01, 0x01, 0x02, 0x01, 0x00, 0x02, 0x01, 0x00, 0x30, 0x83, .. Length(list.Length), .. list];
            byte[] body = [0x02, 0x01, 0x01, 0x04, 0x01, 0x71, 0xA2, 0x83, .. Length(pdu.Length), .. pdu];
            byte[] octets = [0x30, 0x83, .. Length(body.Length), .. body];
            long before = GC.GetAllocatedBytesForCurrentThread();
            CommunityMessage? message = CommunityMessage.Read(octets, octets.Length, out string? why);
            long taken = GC.GetAllocatedBytesForCurrentThread() - before;
            Assert.InRange(taken, 0, 64L * octets.Length);
            Assert.Equal(count <= SnmpPdu.MostBindings ? null : "it has more names than a datagram holds", why);
            Assert.Equal(why is null ? count : 0, message?.Pdu.Bindings.Count ?? 0);
        }
    }

    // Tables of an agent that says anything, anywhere: each object is within a table that is read.
    [Fact]
    public void Tables_of_any_content_throw_nothing()
    {
        string[] roots =
        [
            "1.3.6.1.2.1.105.1.1.1", "1.3.6.1.2.1.105.1.3.1.1", "1.3.111.2.802.3.1.8.1.1.1", "1.3.6.1.2.1.47.1.1.1.1", "1.3.6.1.2.1.47.1.3.2.1", "1.3.6.1.2.1.2.2.1", "1.3.6.1.2.1.31.1.1.1",
            "1.3.6.1.2.1.17.1.4.1", "1.0.8802.1.1.2.1.3.7.1", "1.0.8802.1.1.2.1.4.1.1", "1.3.111.2.802.1.1.13.1.4.1.1", "1.0.8802.1.1.2.1.5.4795.1.3.7.1", "1.0.8802.1.1.2.1.5.4623.1.3.2.1",
        ];
        var random = new Random(20261130);
        int units = 0;
        for (int i = 0; i < 5_000; i++)
        {
            SnmpRows rows = new();
            for (int row = random.Next(60); row >= 0; row--)
            {
                uint[] index = [.. Enumerable.Range(0, random.Next(1, 5)).Select(_ => random.Next(8) == 0 ? (uint)random.NextInt64(uint.MaxValue) : (uint)random.Next(1, 4))];
                rows.Add(new VarBind(Oid.Parse(roots[random.Next(random.Next(2) == 0 ? 3 : roots.Length)]).Then((uint)random.Next(2, 12)).Then(index), Any(random)));
            }

            SnmpReading reading = SnmpControllers.Read(rows, new SnmpContext { Switch = "north" });
            Assert.All(reading.Problems, problem => Assert.False(string.IsNullOrEmpty(problem.Target)));
            Assert.True(reading.Controllers.Count > 0 || reading.Problems.Count > 0);
            units += reading.Controllers.Count;
        }

        Assert.True(units > 1_000, $"{units} units");
    }

    [Fact]
    public void A_changed_walk_throws_nothing_and_loses_no_line()
    {
        string whole = string.Join("\n", Enumerable.Range(1, 12).Select(i => $".1.3.6.1.2.1.105.1.1.1.6.1.{i} = INTEGER: {i % 6 + 1}").Append(".1.3.6.1.2.1.1.1.0 = STRING: \"a \\\"b\\\" c\"").Append(".1.3.6.1.2.1.1.2.0 = Hex-STRING: 00 01 02 "));
        var random = new Random(20261201);
        for (int i = 0; i < 5_000; i++)
        {
            byte[] changed = Dialects.Mutation.OfBytes(Encoding.UTF8.GetBytes(whole), random, Encoding.Latin1, 4);
            string text = Encoding.UTF8.GetString(changed);
            WalkResult walk = WalkFile.ReadText(text, "north.walk");
            Assert.True(walk.Rows.Count > 0 || walk.Problems.Count > 0);
            _ = SnmpControllers.Read(walk.Rows, new SnmpContext { Switch = "north" });
        }
    }

    private static byte[] Length(int length) => [(byte)(length >> 16), (byte)(length >> 8), (byte)length];

    private static SnmpValue Any(Random random) => random.Next(9) switch
    {
        0 => SnmpValue.Of(SnmpType.Integer, random.NextInt64(int.MinValue, int.MaxValue)),
        1 => SnmpValue.Of(SnmpType.Gauge32, random.NextInt64(uint.MaxValue)),
        2 => SnmpValue.OfCounter((ulong)random.NextInt64() * 2),
        3 => SnmpValue.Of(SnmpType.OctetString, [.. Enumerable.Range(0, random.Next(20)).Select(_ => (byte)random.Next(256))]),
        4 => SnmpValue.Of("unit " + random.Next(4)),
        5 => SnmpValue.Of(Oid.Parse("1.3.6.1.2.1.2.2.1.1").Then((uint)random.Next(5))),
        6 => SnmpValue.Exception(SnmpType.NoSuchInstance),
        _ => SnmpValue.Of(SnmpType.Integer, random.Next(0, 12)),
    };
}
