namespace PoeOps.Rehearsal.Devices;

/// <summary>Fetches an image from a file server, as a unit does.</summary>
internal static class ImageFetch
{
    /// <summary>Fetches what was ordered.</summary>
    public static FetchedImage Fetch(InstallOrder order, Scene scene) => new([], RefreshFailure.ServerSilent);
}

/// <summary>What a fetch brought.</summary>
/// <param name="Bytes">The image; empty where it failed.</param>
/// <param name="Failure">Why it failed, or null.</param>
internal sealed record FetchedImage(byte[] Bytes, RefreshFailure? Failure);
