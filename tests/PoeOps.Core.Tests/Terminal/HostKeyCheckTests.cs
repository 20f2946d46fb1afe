using PoeOps.Core.Tests.Files;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

public sealed class HostKeyCheckTests : IDisposable
{
    private static readonly HostKey Old = Key('a');
    private static readonly HostKey New = Key('b');

    private readonly ScratchFolder _folder = new();
    private readonly List<string> _asked = [];
    private readonly List<string> _told = [];

    private HostKeyFile Store => new(_folder.Path("hostkeys.json"));

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_new_key_that_somebody_accepts_is_kept_and_not_asked_about_again()
    {
        Check(answer: true).Demand(Old);
        Check(answer: null).Demand(Old);

        Assert.Equal([$"The host key of 192.0.2.11 port 22 is not known. Its fingerprint is {Shown(Old)}. Compare it with the one that the switch shows at its console. Accept it from now on?"], _asked);
        Assert.Equal([$"The host key of 192.0.2.11 port 22 was not known and is accepted: {Shown(Old)}."], _told);
        HostKey kept = Assert.Single(Store.Read().Keys);
        Assert.Equal(Old with { AcceptedUtc = kept.AcceptedUtc, AcceptedBy = $"{Environment.UserName} on {Environment.MachineName}" }, kept);
        Assert.InRange(kept.AcceptedUtc, DateTime.UtcNow.AddMinutes(-10), DateTime.UtcNow.AddMinutes(1));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(null)]
    public void A_new_key_that_nobody_accepts_is_refused_and_not_kept(bool? answer)
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => Check(answer).Demand(Old)).Problem;

        Assert.Equal(
            (ProblemId.HostKeyUnknown, $"The host key of 192.0.2.11 port 22 is not known and was not accepted: {Shown(Old)}.",
            "Compare the fingerprint with the one that the switch shows at its console, then accept it when asked, or run once with -TrustNewHost."),
            (problem.Id, problem.Sentence, problem.Advice));
        Assert.Empty(Store.Read().Keys);
        Assert.Empty(_told);
    }

    [Fact]
    public void New_keys_may_be_trusted_unasked()
    {
        Check(answer: null, trustNew: true).Demand(Old);

        Assert.Empty(_asked);
        Assert.Single(Store.Read().Keys);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_changed_key_is_refused_whoever_would_accept_it(bool trustNew)
    {
        Check(answer: true).Demand(Old);
        _asked.Clear();

        Problem problem = Assert.Throws<PoeOpsException>(() => Check(answer: true, trustNew).Demand(New)).Problem;

        Assert.Equal(
            (ProblemId.HostKeyChanged, $"The host key of 192.0.2.11 port 22 has changed: {Shown(Old)} was accepted, and the server shows {Shown(New)}.",
            "Somebody may be between you and the switch. Only where you know why the key is new, compare its fingerprint at the switch's console and remove the old one with Remove-PseHostKey."),
            (problem.Id, problem.Sentence, problem.Advice));
        Assert.Empty(_asked);
        Assert.Equal(Old.Fingerprint, Assert.Single(Store.Read().Keys).Fingerprint);
    }

    [Fact]
    public void A_key_that_another_run_kept_meanwhile_holds()
    {
        HostKeyCheck check = new(Store, _ => Store.Add(New) is null, _told.Add);

        Assert.Equal(ProblemId.HostKeyChanged, Assert.Throws<PoeOpsException>(() => check.Demand(Old)).Problem.Id);
        Assert.Equal(New, Assert.Single(Store.Read().Keys));
    }

    [Fact]
    public void Where_nothing_is_to_be_kept_the_answer_holds_for_the_run_and_nothing_is_written()
    {
        HostKeyCheck check = new(Store, question => { _asked.Add(question); return true; }, _told.Add) { KeepsNothing = true };

        check.Demand(Old);
        check.Demand(Old);

        Assert.Single(_asked);
        Assert.Equal([$"The host key of 192.0.2.11 port 22 was not known and is accepted for this run: {Shown(Old)}."], _told);
        Assert.Equal(ProblemId.HostKeyChanged, Assert.Throws<PoeOpsException>(() => check.Demand(New)).Problem.Id);
        Assert.Empty(Directory.EnumerateFileSystemEntries(_folder.FullPath));
    }

    private HostKeyCheck Check(bool? answer, bool trustNew = false) => new(Store, question => { _asked.Add(question); return answer; }, _told.Add) { TrustNew = trustNew };

    private static string Shown(HostKey key) => $"ssh-ed25519 {key.Fingerprint}";

    private static HostKey Key(char letter) => new() { Address = "192.0.2.11", Port = 22, Algorithm = "ssh-ed25519", Fingerprint = "SHA256:" + new string(letter, 43) };
}
