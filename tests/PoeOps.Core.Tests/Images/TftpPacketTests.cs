using System.Text;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

public sealed class TftpPacketTests
{
    // RFC 1350 section 5, figure 5-1: opcode 1, file name, 0, mode, 0. RFC 2347 "Packet Formats": option, 0, value, 0 behind the mode.
    [Fact]
    public void A_read_request_is_written_octet_for_octet()
    {
        TftpPacket plain = new(TftpOpcode.ReadRequest) { File = "a.img", Mode = "octet" };
        Assert.Equal("0001 61 2E 69 6D 67 00 6F 63 74 65 74 00".Replace(" ", ""), Hex(plain));

        TftpPacket asking = plain with { Options = [new("blksize", "1428"), new("tsize", "0")] };
        Assert.Equal("0001" + Ascii("a.img") + "00" + Ascii("octet") + "00" + Ascii("blksize") + "00" + Ascii("1428") + "00" + Ascii("tsize") + "003000", Hex(asking));
    }

    // RFC 1350 section 5, figure 5-2: opcode 3, block number in two octets, data.
    [Fact]
    public void Data_is_written_and_read_octet_for_octet()
    {
        TftpPacket packet = new(TftpOpcode.Data) { Block = 0x0102, Data = new ArraySegment<byte>([9, 0xAB, 0xCD, 9], 1, 2) };
        Assert.Equal("00030102ABCD", Hex(packet));

        TftpPacket? read = Read("0003FFFFABCD");
        Assert.Equal((TftpOpcode.Data, (ushort)65535), (read!.Opcode, read.Block));
        Assert.Equal([0xAB, 0xCD], read.Data.ToArray());
        Assert.Equal(0, Read("00030007")!.Data.Count);
    }

    // RFC 1350 section 5, figure 5-3: opcode 4, block number.
    [Fact]
    public void An_acknowledgement_is_written_and_read_octet_for_octet()
    {
        Assert.Equal("0004FFFE", Hex(new TftpPacket(TftpOpcode.Acknowledgement) { Block = 65534 }));
        Assert.Equal(65534, Read("0004FFFE")!.Block);
    }

    // RFC 1350 section 5, figure 5-4: opcode 5, error code, message, 0.
    [Fact]
    public void An_error_is_written_and_read_octet_for_octet()
    {
        Assert.Equal("00050001" + Ascii("no") + "00", Hex(new TftpPacket(TftpOpcode.Error) { Code = TftpErrorCode.FileNotFound, Text = "no" }));
        TftpPacket read = Read("00050008" + Ascii("no") + "00")!;
        Assert.Equal((TftpErrorCode.OptionsRefused, "no"), (read.Code, read.Text));
        Assert.Equal("no", Read("00050008" + Ascii("no"))!.Text);
        Assert.Equal(string.Empty, Read("00050000")!.Text);
    }

    // RFC 2347 "Packet Formats": opcode 6, option, 0, value, 0.
    [Fact]
    public void An_acknowledgement_of_options_is_written_and_read_octet_for_octet()
    {
        string hex = "0006" + Ascii("blksize") + "00" + Ascii("8") + "00";
        Assert.Equal(hex, Hex(new TftpPacket(TftpOpcode.OptionAcknowledgement) { Options = [new("blksize", "8")] }));
        Assert.Equal("8", Read(hex)!.Option("blksize"));
    }

    // RFC 1350 section 5: the mode is in any combination of upper and lower case; RFC 2347: option names are case insensitive. A file name is not.
    [Fact]
    public void Modes_and_option_names_are_read_in_any_case_and_file_names_as_they_are()
    {
        TftpPacket read = Read("0001" + Ascii("A.Img") + "00" + Ascii("OcTeT") + "00" + Ascii("BLKSIZE") + "00" + Ascii("8") + "00")!;
        Assert.Equal(("A.Img", "octet", "8"), (read.File, read.Mode, read.Option("blksize")));
    }

    // The codes of RFC 1350, appendix, and 8 of RFC 2347.
    [Theory]
    [InlineData(0, TftpErrorCode.NotDefined)]
    [InlineData(1, TftpErrorCode.FileNotFound)]
    [InlineData(2, TftpErrorCode.AccessViolation)]
    [InlineData(3, TftpErrorCode.DiskFull)]
    [InlineData(4, TftpErrorCode.IllegalOperation)]
    [InlineData(5, TftpErrorCode.UnknownTransferId)]
    [InlineData(6, TftpErrorCode.FileExists)]
    [InlineData(7, TftpErrorCode.NoSuchUser)]
    [InlineData(8, TftpErrorCode.OptionsRefused)]
    public void An_error_code_has_its_number(int number, TftpErrorCode code) => Assert.Equal(code, Read($"0005{number:X4}00")!.Code);

    [Theory]
    [InlineData("", "nothing")]
    [InlineData("0001", "a request without a name")]
    [InlineData("00016100", "no mode")]
    [InlineData("000100" + Octet, "an empty name")]
    [InlineData("000161006F63746574", "a mode without its terminator")]
    [InlineData("00016100" + Octet + "7473697A6500", "an option without a value")]
    [InlineData("00016100" + Octet + "7473697A650030", "a value without its terminator")]
    [InlineData("00016100" + Octet + "7473697A650030005453495A45003000", "an option twice (RFC 2347: each at most once)")]
    [InlineData("00016100" + Octet + "003000", "an option without a name")]
    [InlineData("0003", "data without a block number")]
    [InlineData("000400", "an acknowledgement cut short")]
    [InlineData("0004000100", "an acknowledgement with more behind it")]
    [InlineData("00000000", "opcode 0")]
    [InlineData("00070000", "opcode 7")]
    [InlineData("01010000", "opcode 257")]
    public void What_is_no_packet_is_none(string hex, string why) => Assert.True(Read(hex) is null, why);

    [Theory]
    [InlineData("00", "A datagram of 1 octets is no TFTP packet: a packet has at least 4 octets.")]
    [InlineData("00070000", "A datagram of 4 octets is no TFTP packet: the opcodes are 1 to 6.")]
    [InlineData("01010000", "A datagram of 4 octets is no TFTP packet: the opcodes are 1 to 6.")]
    [InlineData("0004000100", "A datagram of 5 octets is no TFTP packet: an acknowledgement has 4 octets.")]
    [InlineData("00016100", "A datagram of 4 octets is no TFTP packet: a request has a file name and a mode.")]
    [InlineData("000100" + Octet, "A datagram of 9 octets is no TFTP packet: the file name is empty.")]
    [InlineData("000161006F63746574", "A datagram of 9 octets is no TFTP packet: the last text has no NUL behind it.")]
    [InlineData("00016100" + Octet + "7473697A6500", "A datagram of 16 octets is no TFTP packet: an option has a name and a value.")]
    [InlineData("00016100" + Octet + "003000", "A datagram of 13 octets is no TFTP packet: an option has no name.")]
    [InlineData("00016100" + Octet + "1B003000" + "1B003100", "A datagram of 18 octets is no TFTP packet: the option \\u001b stands there twice.")]
    public void What_is_wrong_with_a_datagram_is_said(string hex, string sentence)
    {
        byte[] bytes = Convert.FromHexString(hex);
        Assert.Null(TftpPacket.Read(bytes, bytes.Length, out Problem? problem));
        Assert.Equal((ProblemId.TftpMalformed, sentence), (problem!.Id, problem.Sentence));
    }

    [Fact]
    public void A_packet_has_no_problem()
    {
        Assert.NotNull(TftpPacket.Read([0, 4, 0, 1], 4, out Problem? problem));
        Assert.Null(problem);
    }

    [Fact]
    public void A_hundred_thousand_random_datagrams_are_read_or_explained_and_nothing_is_thrown()
    {
        Random random = new(1350);
        byte[] bytes = new byte[600];
        for (int i = 0; i < 100_000; i++)
        {
            random.NextBytes(bytes);
            (bytes[0], bytes[1]) = (i % 8 == 0 ? bytes[0] : (byte)0, (byte)(bytes[1] % 8));
            for (int at = 2; i % 2 == 0 && at < bytes.Length; at += 1 + random.Next(12))
            {
                // Half of them are full of texts.
                bytes[at] = 0;
            }

            TftpPacket? packet = TftpPacket.Read(bytes, random.Next(bytes.Length + 1), out Problem? problem);
            Assert.True(packet is null != problem is null);
        }
    }

    // RFC 2347: "The maximum size of a request packet is 512 octets."
    [Fact]
    public void A_request_has_at_most_512_octets()
    {
        Assert.NotNull(Read("0001" + Ascii(new string('a', 503)) + "00" + Octet));
        Assert.Null(Read("0001" + Ascii(new string('a', 504)) + "00" + Octet));
    }

    private const string Octet = "6F6374657400";

    private static TftpPacket? Read(string hex)
    {
        byte[] bytes = Convert.FromHexString(hex);
        return TftpPacket.Read(bytes, bytes.Length);
    }

    private static string Hex(TftpPacket packet) => Convert.ToHexString(packet.Write());

    private static string Ascii(string text) => Convert.ToHexString(Encoding.ASCII.GetBytes(text));
}
