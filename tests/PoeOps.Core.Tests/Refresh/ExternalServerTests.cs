using System.Net;
using System.Security.Cryptography;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>Images that units fetch from somebody else's file server: here one of ours on loopback, on its own.</summary>
public sealed class ExternalServerTests : IDisposable
{
    private readonly OneNight _night = new();
    private readonly ScratchFolder _theirs = new();
    private readonly TftpServer _server = new(new TftpServerOptions { Bind = IPAddress.Loopback, Port = 0, Clock = SystemClock.Instance });

    public void Dispose()
    {
        _server.Dispose();
        _theirs.Dispose();
        _night.Dispose();
    }

    [Fact]
    public void The_unit_fetches_from_it_once_it_was_seen_to_give_the_approved_image()
    {
        Offer(File.ReadAllBytes(_night.ImagePath));
        RefreshOrder? order = null;
        _night.Link.OnStart = given =>
        {
            order = given;
            _night.Fetch(given);
        };
        _night.GoesWell();
        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Equal((_server.Endpoint!.Port, OneNight.Image), (order!.ServerPort, order.File));
        Assert.InRange(_server.Transfers.Count, 2, 3); // at the gate, before the command, and the unit, whose transfer may not have ended yet
        Assert.Contains("Gate gate=Server; passed=true", _night.Journal(), StringComparison.Ordinal);
        Assert.DoesNotContain("Served", _night.Kinds(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(true, ProblemId.ImageWrongDigest)]
    [InlineData(false, ProblemId.ImageWrongSize)]
    public void Another_image_there_is_never_sent_for(bool sameSize, ProblemId id)
    {
        byte[] bytes = File.ReadAllBytes(_night.ImagePath);
        bytes[5] ^= 1;
        Offer(sameSize ? bytes : bytes[..^1]);
        UnitResult result = Assert.Single(_night.Run());
        Assert.Equal((StageOutcome.Refused, id), (result.Outcome, result.ProblemId));
        Assert.StartsWith($"tftp://127.0.0.1:{_server.Endpoint!.Port}/{OneNight.Image} has ", result.Reason, StringComparison.Ordinal);
        Assert.Empty(_night.Link.Calls);
    }

    [Fact]
    public void A_server_that_has_no_such_file_is_told()
    {
        Offer(null);
        UnitResult result = Assert.Single(_night.Run());
        Assert.Equal((StageOutcome.Refused, ProblemId.TftpRefused), (result.Outcome, result.ProblemId));
    }

    [Theory]
    [InlineData("tftp://192.0.2.5", "192.0.2.5", 69)]
    [InlineData("tftp://192.0.2.5:6969/", "192.0.2.5", 6969)]
    [InlineData("tftp://[2001:db8::5]", "2001:db8::5", 69)]
    public void An_address_is_read(string text, string host, int port)
    {
        var server = ExternalServer.Parse(text);
        Assert.Equal((host, port), (server.Host, server.Endpoint.Port));
    }

    [Theory]
    [InlineData("192.0.2.5")]
    [InlineData("http://192.0.2.5")]
    [InlineData("tftp://192.0.2.5/images")]
    [InlineData("tftp://somebody@192.0.2.5")]
    public void What_is_none_is_told(string text)
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => ExternalServer.Parse(text)).Problem;
        Assert.Equal((ProblemId.ImageServerUnreadable, $"'{text}' is no address of a file server."), (problem.Id, problem.Sentence));
    }

    private void Offer(byte[]? image)
    {
        _server.Start();
        if (image is not null)
        {
            string folder = Path.GetDirectoryName(_theirs.Write(OneNight.Image, image))!;
            _ = _server.Serve(new ImageSpec(OneNight.Image, image.Length, Convert.ToHexStringLower(SHA256.HashData(image)), "br"), folder, null);
        }

        _night.External = ExternalServer.Parse($"tftp://127.0.0.1:{_server.Endpoint!.Port}");
    }
}
