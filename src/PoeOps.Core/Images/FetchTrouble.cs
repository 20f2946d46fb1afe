using System.Net;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>What can go wrong with a fetch, in sentences that name the server and the file.</summary>
internal sealed class FetchTrouble(IPEndPoint server, string file)
{
    /// <summary>The port to tell the server by, once there is one.</summary>
    public ServerPort? Port { get; set; }

    /// <summary>Something went wrong.</summary>
    /// <param name="id">What.</param>
    /// <param name="what">The same in words, behind 'The file server …, asked for …, '; without a full stop.</param>
    /// <param name="advice">What to do about it.</param>
    public PoeOpsException Of(ProblemId id, string what, string advice) =>
        new(new Problem(id, $"The file server {server}, asked for '{Excerpt.Of(file)}', {what}.", advice));

    /// <summary>The same, told to the server too, so that it does not go on or believe in a success.</summary>
    /// <param name="code">What the server is told.</param>
    /// <param name="text">The same in words.</param>
    /// <param name="id">What went wrong.</param>
    /// <param name="what">The same in words, as above.</param>
    /// <param name="advice">What to do about it.</param>
    public PoeOpsException Told(TftpErrorCode code, string text, ProblemId id, string what, string advice)
    {
        Port?.Tell(code, text);
        return Of(id, what, advice);
    }
}
