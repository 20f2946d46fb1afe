using System.Globalization;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>What agents send on the wire, tidy and sloppy. The octets are written by hand from X.690 and RFC 3416 unless said otherwise.</summary>
public sealed class BerTests
{
    private static string Hex(byte[] octets) => Convert.ToHexString(octets).ToLowerInvariant();

    private static string Octet(int number) => number.ToString("x2", CultureInfo.InvariantCulture);

    private static CommunityMessage? Read(string hex, out string? why)
    {
        byte[] octets = Convert.FromHexString(hex);
        return CommunityMessage.Read(octets, octets.Length, out why);
    }

    // A response with one name, 1.3.6.1.2.1.1.3.0, around a value in hexadecimal.
    private static SnmpValue Value(string value)
    {
        byte[] octets = Convert.FromHexString(value);
        byte[] bind = Convert.FromHexString("06082b06010201010300").Concat(octets).ToArray();
        string list = "30" + Octet(bind.Length + 2) + "30" + Octet(bind.Length) + Hex(bind);
        string pdu = "020101" + "020100" + "020100" + list;
        string whole = "020101" + "0404" + "64656d6f" + "a2" + Octet(pdu.Length / 2) + pdu;
        CommunityMessage? message = Read("30" + Octet(whole.Length / 2) + whole, out string? why);
        Assert.True(message is not null, why);
        return Assert.Single(message.Pdu.Bindings).Value;
    }

    [Theory]
    [InlineData("020105", "Integer 5")]
    [InlineData("0201ff", "Integer -1")]
    [InlineData("020480000000", "Integer -2147483648")]
    [InlineData("41047fffffff", "Counter32 2147483647")]
    [InlineData("410500ffffffff", "Counter32 4294967295")]
    [InlineData("420100", "Gauge32 0")]
    [InlineData("43023039", "TimeTicks 12345")]
    [InlineData("460900ffffffffffffffff", "Counter64 18446744073709551615")]
    [InlineData("060a2b060102010202010165", "ObjectId 1.3.6.1.2.1.2.2.1.1.101")]
    [InlineData("0604883703aa", "Unreadable 883703aa")]
    [InlineData("06058837030201", "ObjectId 2.999.3.2.1")]
    [InlineData("06068fffffff7f01", "Unreadable 8fffffff7f01", false)]
    [InlineData("40047f000001", "IpAddress 7f000001")]
    [InlineData("0403616263", "OctetString 616263")]
    [InlineData("0500", "Null")]
    [InlineData("8000", "NoSuchObject")]
    [InlineData("8100", "NoSuchInstance")]
    [InlineData("8200", "EndOfMibView")]
    public void Values_as_they_should_be(string hex, string expected, bool exact = true)
    {
        string found = Value(hex).ToString();
        if (exact)
        {
            Assert.Equal(expected, found);
        }
        else
        {
            Assert.StartsWith("ObjectId 2.", found);
        }
    }

    [Theory]
    [InlineData("420400000005", "Gauge32 5")]
    [InlineData("4104ffffffff", "Counter32 4294967295")]
    [InlineData("4201ff", "Gauge32 255")]
    [InlineData("4206000000000005", "Gauge32 5")]
    [InlineData("02080000000000000007", "Integer 7")]
    [InlineData("020cffffffffffffffffffffffff", "Integer -1")]
    [InlineData("4608ffffffffffffffff", "Counter64 18446744073709551615")]
    [InlineData("0600", "ObjectId ")]
    [InlineData("060380802b", "ObjectId 1.3")]
    [InlineData("0482000161", "OctetString 61")]
    [InlineData("04850000000001" + "61", "OctetString 61")]
    [InlineData("050100", "Null")]
    public void Values_of_sloppy_agents_are_read(string hex, string expected) => Assert.Equal(expected, Value(hex).ToString());

    [Theory]
    [InlineData("0200", "Unreadable")]
    [InlineData("4200", "Unreadable")]
    [InlineData("42050100000000", "Unreadable 0100000000")]
    [InlineData("460a01000000000000000000", "Unreadable 01000000000000000000")]
    [InlineData("40037f0001", "Unreadable 7f0001")]
    [InlineData("9f0161", "Unreadable 61")]
    [InlineData("4703010203", "Unreadable 010203")]
    public void Values_that_are_none_are_kept_as_unreadable_and_spoil_nothing(string hex, string expected) => Assert.Equal(expected, Value(hex).ToString());

    [Theory]
    [InlineData("", "the message is missing")]
    [InlineData("30", "the message is missing")]
    [InlineData("3003020101", "the community is missing")]
    [InlineData("300302010104", "the community is missing")]
    [InlineData("30050201010404", "the community is longer than what is left")]
    [InlineData("3080020101", "the length of the message cannot be read")]
    [InlineData("3084ffffffff020101", "the length of the message cannot be read")]
    [InlineData("308400000003020101", "the community is missing")]
    [InlineData("3103020101", "the message has the tag 31 where 30 was expected")]
    [InlineData("3003020103", "its version is 3, and 0 or 1 was expected")]
    [InlineData("300902010104026162a300", "its PDU has the tag A3, which is none of reading")]
    [InlineData("300902010104026162a400", "its PDU has the tag A4, which is none of reading")]
    [InlineData("300902010104026162a700", "its PDU has the tag A7, which is none of reading")]
    [InlineData("300902010104026162a200", "the request id is missing")]
    [InlineData("300c02010104026162a203020101", "the error status is missing")]
    [InlineData("30130201010402" + "6162" + "a20a" + "0205" + "0100000000" + "020100", "the request id is no number of 32 bits")]
    public void What_is_no_message_says_why(string hex, string why)
    {
        Assert.Null(Read(hex, out string? found));
        Assert.Equal(why, found);
    }

    [Fact]
    public void What_stands_behind_a_message_is_passed_over()
    {
        CommunityMessage message = new(SnmpVersion.V2c, "demo", new SnmpPdu(SnmpPduKind.Response, 7, [new VarBind(Oid.Parse("1.3.6.1"), SnmpValue.Of("x"))]));
        Assert.NotNull(Read(Hex(message.Write()) + "0000ffff", out _));
    }

    // By hand, from X.690 section 8 and RFC 3416 section 3.
    [Fact]
    public void A_request_is_written_in_the_shortest_form()
    {
        var message = new CommunityMessage(SnmpVersion.V2c, "demo", new SnmpPdu(SnmpPduKind.GetRequest, 0x12345678, [new VarBind(Oid.Parse("1.3.6.1.2.1.1.5.0"))]));
        Assert.Equal("3027020101" + "040464656d6f" + "a01c" + "020412345678" + "020100" + "020100" + "300e" + "300c" + "06082b06010201010500" + "0500", Hex(message.Write()));
    }

    [Theory]
    [InlineData(0, "020100")]
    [InlineData(127, "02017f")]
    [InlineData(128, "02020080")]
    [InlineData(-128, "020180")]
    [InlineData(-129, "0202ff7f")]
    [InlineData(2147483647, "02047fffffff")]
    [InlineData(-2147483648, "020480000000")]
    public void Numbers_are_written_in_the_shortest_form(int number, string expected) =>
        Assert.Contains("a2", Written(SnmpValue.Of(SnmpType.Integer, number), expected));

    [Theory]
    [InlineData(4294967295, "410500ffffffff")]
    [InlineData(128, "41020080")]
    [InlineData(0, "410100")]
    public void Counters_are_written_with_their_zero(long number, string expected) => Assert.Contains("a2", Written(SnmpValue.Of(SnmpType.Counter32, number), expected));

    private static string Written(SnmpValue value, string expected)
    {
        string hex = Hex(new CommunityMessage(SnmpVersion.V2c, "demo", new SnmpPdu(SnmpPduKind.Response, 1, [new VarBind(Oid.Parse("1.3"), value)])).Write());
        Assert.EndsWith("06012b" + expected, hex);
        return hex;
    }

    [Fact]
    public void Long_lengths_are_written_and_read()
    {
        foreach (int length in new[] { 0, 127, 128, 255, 256, 40_000 })
        {
            var value = SnmpValue.Of(SnmpType.OctetString, new byte[length]);
            byte[] octets = new CommunityMessage(SnmpVersion.V2c, "demo", new SnmpPdu(SnmpPduKind.Response, 1, [new VarBind(Oid.Parse("1.3.6.1.4"), value)])).Write();
            Assert.Equal(length, CommunityMessage.Read(octets, octets.Length, out _)!.Pdu.Bindings[0].Value.OctetCount);
        }
    }

    // There is no SET: neither among the kinds, nor by a number put in their place.
    [Fact]
    public void Nothing_that_changes_a_device_can_be_written()
    {
        Assert.Equal(["GetRequest", "GetNextRequest", "Response", "GetBulkRequest", "Report"], Enum.GetNames<SnmpPduKind>());
        foreach (int tag in new[] { 0xA3, 0xA4, 0xA6, 0xA7 })
        {
            Assert.Throws<InvalidOperationException>(() => new CommunityMessage(SnmpVersion.V2c, "demo", new SnmpPdu((SnmpPduKind)tag, 1, [])).Write());
            Assert.Throws<InvalidOperationException>(() => new ScopedPdu(new SnmpPdu((SnmpPduKind)tag, 1, [])).Write());
        }
    }

    [Theory]
    [InlineData("1.3.6", "1.3.6.1", -1)]
    [InlineData("1.3.6.2", "1.3.6.1.9", 1)]
    [InlineData("1.3.6.4294967295", "1.3.6.2147483648", 1)]
    [InlineData("1.3.6.1", ".1.3.6.1", 0)]
    public void Identifiers_are_ordered_as_a_walk_goes(string left, string right, int order) => Assert.Equal(order, Oid.Parse(left).CompareTo(Oid.Parse(right)));

    [Theory]
    [InlineData("")]
    [InlineData(".")]
    [InlineData("1..3")]
    [InlineData("1.3.")]
    [InlineData("1.-3")]
    [InlineData("1.4294967296")]
    [InlineData("SNMPv2-MIB::sysDescr.0")]
    [InlineData("1.3.٣")]
    public void What_is_no_identifier_is_refused(string text) => Assert.False(Oid.TryParse(text, out _));

    // RFC 3417 section 8: bit 0 of BITS is the high-order bit of the first octet; FACTS: telephone is bit 5 (04), a WLAN access point bit 3 (10).
    [Fact]
    public void Bits_count_from_the_high_end()
    {
        var bits = SnmpValue.Of(SnmpType.OctetString, [0x14]);
        Assert.Equal([3, 5], Enumerable.Range(0, 20).Where(bits.HasBit));
    }
}
