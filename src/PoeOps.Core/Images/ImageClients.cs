using System.Net;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Who may fetch from an image server, and the one local address that they reach it at.</summary>
internal static class ImageClients
{
    /// <summary>The addresses of clients, each once.</summary>
    /// <param name="texts">Addresses, or names.</param>
    /// <exception cref="PoeOpsException">There are none, or nobody knows one (<see cref="ProblemId.ClientUnknown"/>).</exception>
    public static IReadOnlyList<IPAddress> Of(IReadOnlyList<string> texts)
    {
        if (texts.Count == 0)
        {
            throw new PoeOpsException(new Problem(ProblemId.ClientUnknown, "No client is named, and nothing is served to just anybody.", "Name the addresses of the switches, or their estate."));
        }

        return [.. texts.Select(Of).Distinct()];
    }

    /// <summary>The local address to listen at.</summary>
    /// <param name="named">The one that was asked for, or null.</param>
    /// <param name="clients">Who has to reach it.</param>
    /// <exception cref="PoeOpsException">No one local address reaches them all (<see cref="ProblemId.TftpCannotListen"/>).</exception>
    public static IPAddress LocalAddress(IPAddress? named, IReadOnlyList<IPAddress> clients)
    {
        if (named is not null)
        {
            bool every = named.Equals(IPAddress.Any) || named.Equals(IPAddress.IPv6Any);
            IPAddress? other = clients.FirstOrDefault(client => client.AddressFamily != named.AddressFamily);
            return every ? throw CannotListen($"{named} is every address of this machine, and images are served from one.", "Name the one that the switches reach.")
                : other is not null ? throw CannotListen($"{other} cannot reach {named}: one is IPv4 and the other IPv6.", "Start a server for each.")
                : named;
        }

        IPAddress? local = null;
        IPAddress first = clients[0];
        foreach (IPAddress client in clients)
        {
            IPAddress way = HostAddress.Reaching(client);
            if (local is not null && !local.Equals(way))
            {
                throw CannotListen($"{first} is reached from {local} and {client} from {way}, and images are served from one address.", "Start a server for each, or name the address that both reach.");
            }

            local = way;
        }

        return local!;
    }

    private static IPAddress Of(string text) => HostAddress.Of(text) ?? throw new PoeOpsException(new Problem(
        ProblemId.ClientUnknown, $"'{Excerpt.Of(text)}' is no address, and nobody knows it as a name.", "Correct it."));

    private static PoeOpsException CannotListen(string sentence, string advice) => new(new Problem(ProblemId.TftpCannotListen, sentence, advice));
}
