using PoeOps.Files;

namespace PoeOps.Core.Tests.Files;

public sealed class TextFileTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_text_comes_back_as_it_stands() => Assert.Equal("grün\r\nrot", TextFile.Read(_folder.Write("a.txt", "grün\r\nrot")).Text);

    [Fact]
    public void A_byte_order_mark_of_UTF_8_is_no_part_of_the_text() =>
        Assert.Equal("a", TextFile.Read(_folder.Write("a.txt", [0xEF, 0xBB, 0xBF, (byte)'a'])).Text);

    [Fact]
    public void A_file_that_is_not_there_is_named_as_the_user_named_it()
    {
        Problem problem = Refused("no/such.json");
        Assert.Equal("no/such.json", problem.File);
        Assert.Equal("FileNotFound - -: The file 'no/such.json' does not exist. Check the path and where it starts from.", Told.Of(problem));
    }

    [Fact]
    public void A_folder_is_no_file() =>
        Assert.Equal(
            $"FileUnreadable - -: '{_folder.FullPath}' is a folder, and a file was expected. Give the path of a file in it.", Told.Of(Refused(_folder.FullPath)));

    [Fact]
    public void No_path_is_no_file() => Assert.Equal("FileNotFound - -: No file is named. Give the path of a file.", Told.Of(Refused(" ")));

    [Theory]
    [InlineData("")]
    [InlineData(" \r\n\t")]
    public void A_file_without_content_is_empty(string content)
    {
        string path = _folder.Write("empty.json", content);
        Assert.Equal($"FileEmpty - -: The file '{path}' has no content. Give a file that has been written to its end.", Told.Of(Refused(path)));
    }

    [Fact]
    public void A_file_of_200_MB_is_refused_by_its_length_alone()
    {
        string path = _folder.Path("large.json");
        using (FileStream stream = new(path, FileMode.CreateNew))
        {
            stream.SetLength(200_000_000);
        }

        long before = GC.GetAllocatedBytesForCurrentThread();
        Problem problem = Refused(path);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 1_000_000);
        Assert.Equal("FileTooLarge - -: The file has 200000000 bytes, and at most 16777216 are read. Check that it is the file you mean; divide it if it is.", Told.Of(problem));
    }

    [Fact]
    public void A_file_of_exactly_16_MiB_is_read()
    {
        byte[] bytes = new byte[TextFile.MostBytes];
        Array.Fill(bytes, (byte)'x');
        Assert.Equal(TextFile.MostBytes, TextFile.Read(_folder.Write("most.txt", bytes)).Text!.Length);
    }

    // Ill-formed sequences by RFC 3629, sections 3 and 4.
    [Theory]
    [InlineData(new byte[] { (byte)'a', 0xE4, (byte)'b' }, 1, 1, "E4")] // Latin-1 ä
    [InlineData(new byte[] { (byte)'\n', (byte)'\n', 0xFF }, 2, 3, "FF")] // never in UTF-8
    [InlineData(new byte[] { 0xC0, 0x80 }, 0, 1, "C0")] // overlong NUL
    [InlineData(new byte[] { 0xE0, 0x9F, 0xBF }, 0, 1, "E0")] // overlong
    [InlineData(new byte[] { 0xED, 0xA1, 0x8C }, 0, 1, "ED")] // half of a surrogate pair
    [InlineData(new byte[] { 0xF4, 0x90, 0x80, 0x80 }, 0, 1, "F4")] // above U+10FFFF
    [InlineData(new byte[] { (byte)'a', 0xE2, 0x82 }, 1, 1, "E2")] // cut in the middle
    [InlineData(new byte[] { 0xEF, 0xBB, 0xBF, (byte)'\n', 0x80 }, 4, 2, "80")] // offset counts the mark
    public void Bytes_that_are_no_UTF_8_are_found_with_offset_and_line(byte[] bytes, int offset, int line, string found) =>
        Assert.Equal(
            $"FileNotUtf8 {line} -: The byte {found} (hexadecimal) at offset {offset} does not belong to any UTF-8 text. Save the file as UTF-8.",
            Told.Of(Refused(_folder.Write("bad.txt", bytes))));

    [Fact]
    public void Every_character_of_Unicode_is_read()
    {
        string all = string.Concat(Enumerable.Range(1, 0x10FFFF).Where(code => code is < 0xD800 or > 0xDFFF).Select(char.ConvertFromUtf32));
        Assert.Equal(all, TextFile.Read(_folder.Write("all.txt", all)).Text);
    }

    [Theory]
    [InlineData(new byte[] { 0xFF, 0xFE, 0x61, 0x00 })]
    [InlineData(new byte[] { 0xFE, 0xFF, 0x00, 0x61 })]
    public void A_file_in_UTF_16_is_told_so(byte[] bytes) =>
        Assert.Equal(
            "FileNotUtf8 1 -: The file starts with the byte-order mark of UTF-16, and UTF-8 was expected. Save it as UTF-8.",
            Told.Of(Refused(_folder.Write("utf16.txt", bytes))));

    [Fact]
    public void A_file_that_another_program_holds_is_unreadable()
    {
        string path = _folder.Write("held.txt", "x");
        using FileStream held = new(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None);
        Assert.Equal(ProblemId.FileUnreadable, Refused(path).Id);
    }

    private static Problem Refused(string path)
    {
        TextFileResult result = TextFile.Read(path);
        Assert.Null(result.Text);
        return result.Problem!;
    }
}
