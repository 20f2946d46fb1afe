using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal.Devices;

/// <summary>What a unit tests of an image before it erases anything.</summary>
internal static class ImageTest
{
    private static readonly Regex Digits = new("[0-9]+", RegexOptions.CultureInvariant, TimeSpan.FromSeconds(1));

    /// <summary>Tests an image from its head to its payload.</summary>
    /// <param name="image">What was fetched.</param>
    /// <param name="model">The hardware that is to take it.</param>
    /// <param name="firmware">What the controller runs.</param>
    /// <param name="header">The header, where there is one.</param>
    /// <returns>Why the unit does not take it, or null.</returns>
    public static RefreshFailure? Test(byte[] image, WorldModel model, string firmware, out ImageHeader? header)
    {
        header = ImageHeader.Read(image, out int start);
        if (header is null)
        {
            return RefreshFailure.NotAnImage;
        }

        if (header.Family != model.ImageFamily)
        {
            return RefreshFailure.WrongFamily;
        }

        if (!header.Models.Contains(model.Model))
        {
            return RefreshFailure.WrongModel;
        }

        if (header.LoadsOn is not null && Version(firmware) < Version(header.LoadsOn))
        {
            return RefreshFailure.FirmwareTooOld;
        }

        if (image.Length - start != header.PayloadBytes)
        {
            return RefreshFailure.WrongSize;
        }

        return ImageHeader.Digest(image, start) == header.PayloadSha256 ? null : RefreshFailure.WrongDigest;
    }

    // Every spelling of both families has the same numbers in the same order.
    private static ControllerVersion Version(string text) => new(Digits.Matches(text).Cast<Match>().Select(match => match.Value), text);
}
