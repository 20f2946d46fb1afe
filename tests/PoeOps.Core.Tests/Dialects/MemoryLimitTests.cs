using System.Diagnostics;
using System.Globalization;
using System.Text;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Hostile captures, each read by a process whose heap has a limit: a reading that needs more ends there with an exception.</summary>
public sealed class MemoryLimitTests : IDisposable
{
    private const string Head = "Port Admin State Class Rank Granted W Drawn W Limit W\n";

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("read")]
    [InlineData("cover")]
    public void Two_hundred_megabytes_take_none_to_speak_of(string how)
    {
        using (FileStream file = File.Create(_folder.Path("capture.txt")))
        {
            file.SetLength(200_000_000);
        }

        string sentence = "FileTooLarge -: The capture has 200000000 bytes, and at most 67108864 are read.";
        Assert.Equal([how == "read" ? "0 controllers, 0 ports" : "0 lines, 0 read, 0 unread, 0 blank, 0 ports", sentence, "1 problems"], Run(how, 32));
    }

    [Theory]
    [InlineData("read", "0 controllers, 0 ports")]
    [InlineData("cover", "4 lines, 3 read, 1 unread, 0 blank, 1 ports")]
    public void A_line_of_fifty_megabytes_takes_little_more_than_itself(string how, string read)
    {
        byte[] part = [.. Enumerable.Repeat((byte)'x', 1_000_000)];
        using (FileStream file = File.Create(_folder.Path("capture.txt")))
        {
            file.Write(Encoding.ASCII.GetBytes(Head + "1:1 on feeding 4 low 30 12.5 30\n"));
            for (int i = 0; i < 50; i++)
            {
                file.Write(part);
            }

            file.Write("\ntold: 1 ports\n"u8);
        }

        string[] said = Run(how, 96);
        Assert.Equal(how == "read" ? "1 controllers, 1 ports" : read, said[0]);
        Assert.Equal("LineTooLong 3: The line has 50000000 characters, and no console prints more than 65536 on one.", said[1]);
    }

    [Fact]
    public void A_million_rows_are_read_within_a_kilobyte_and_a_quarter_each()
    {
        Rows(1_000_000);
        Assert.Equal("100 controllers, 1000000 ports", Run("read", 1250)[0]);
    }

    [Fact]
    public void Every_line_of_many_rows_is_accounted_for_within_a_gigabyte()
    {
        Rows(300_000);
        Assert.Equal("300002 lines, 300002 read, 0 unread, 0 blank, 300000 ports", Run("cover", 1024)[0]);
    }

    [Theory]
    [InlineData("no words of this family\n", "1999999 lines, 0 read, 1999999 unread, 0 blank, 0 ports", "CaptureOfAnotherFamily -: The dialect 'kelpline' reads nothing here: none of the 1999999 lines that hold something fits any of its rules.")]
    [InlineData("\n", "1999999 lines, 0 read, 0 unread, 1999999 blank, 0 ports", "CaptureOfAnotherFamily -: The dialect 'kelpline' reads nothing here: there are only empty lines.")]
    public void As_many_lines_as_may_be_of_nothing_are_told_once(string line, string read, string told)
    {
        _folder.Write("capture.txt", string.Concat(Enumerable.Repeat(line, 1_999_999)));
        Assert.Equal([read, told, "1 problems"], Run("cover", 1024));
    }

    private void Rows(int count)
    {
        using StreamWriter file = File.CreateText(_folder.Path("capture.txt"));
        file.Write(Head);
        for (int i = 0; i < count; i++)
        {
            file.Write(string.Create(CultureInfo.InvariantCulture, $"{(i / 10_000) + 1}:{(i % 10_000) + 1} on feeding {i % 5} low 30 12.{i % 10} 30\n"));
        }

        file.Write(string.Create(CultureInfo.InvariantCulture, $"told: {count} ports\n"));
    }

    // The program lies where this assembly would lie, were it that project's.
    private string[] Run(string how, int megabytes)
    {
        string program = Path.Combine(AppContext.BaseDirectory.Replace("PoeOps.Core.Tests", "PoeOps.Benchmarks", StringComparison.Ordinal), "PoeOps.Benchmarks.dll");
        string dialect = Repository.Path("module", "dialects", "kelpline.dialect.json");
        var start = new ProcessStartInfo("dotnet", [program, how, dialect, _folder.Path("capture.txt")]) { RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["DOTNET_GCHeapHardLimit"] = (megabytes * 1_000_000).ToString("X", CultureInfo.InvariantCulture);
        start.Environment["DOTNET_gcServer"] = "0";
        using Process process = Process.Start(start)!;
        Task<string> wrong = process.StandardError.ReadToEndAsync();
        string[] said = process.StandardOutput.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, wrong.Result);
        return said;
    }
}
