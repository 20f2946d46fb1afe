using PoeOps.Files;

namespace PoeOps.Report;

/// <summary>How a notice is written.</summary>
public enum NoticeFormat
{
    /// <summary>Plain text in UTF-8: <c>SITE.notice.txt</c>.</summary>
    Text,
    /// <summary>A page that stands for itself: <c>SITE.notice.html</c>.</summary>
    Html,
}

/// <summary>A notice as a file.</summary>
/// <param name="Site">The site that it is for.</param>
/// <param name="Path">Where it goes.</param>
/// <param name="Text">What it says.</param>
public sealed record NoticeFile(string Site, string Path, string Text)
{
    /// <summary>The files of notices, in their order.</summary>
    /// <param name="notices">The notices.</param>
    /// <param name="folder">The folder that they go to.</param>
    /// <param name="formats">How each is written.</param>
    public static IReadOnlyList<NoticeFile> Of(IReadOnlyList<SiteNotice> notices, string folder, IReadOnlyList<NoticeFormat> formats) =>
    [
        .. from notice in notices
           from format in formats.Distinct()
           select new NoticeFile(
               notice.Site,
               System.IO.Path.Combine(folder, notice.FileName + (format == NoticeFormat.Html ? ".notice.html" : ".notice.txt")),
               format == NoticeFormat.Html ? NoticeText.Html(notice) : NoticeText.Text(notice)),
    ];

    /// <summary>Says why it is not written, as far as it can be told without writing.</summary>
    /// <param name="overwrite">True where a file that stands there may be replaced.</param>
    /// <returns>The problem that <see cref="Write"/> would throw, or null.</returns>
    public Problem? Check(bool overwrite) => Directory.Exists(Folder) ? WholeFile.Check(Path, overwrite) : File.Exists(Folder) ? NoFolder("a file stands there.") : null;

    /// <summary>Writes it, whole or not at all; its folder is made where it is not there.</summary>
    /// <param name="overwrite">True to replace a file that stands there.</param>
    /// <exception cref="PoeOpsException">A file stands there (<see cref="ProblemId.FileExists"/>), or none can be written (<see cref="ProblemId.FileNotWritable"/>).</exception>
    public void Write(bool overwrite)
    {
        try
        {
            _ = Directory.CreateDirectory(Folder);
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            throw new PoeOpsException(NoFolder(TextFile.OneSentence(exception)), exception);
        }

        WholeFile.Write(Path, Text, overwrite);
    }

    private string Folder => System.IO.Path.GetDirectoryName(Path)!;

    private Problem NoFolder(string why) =>
        new(ProblemId.FileNotWritable, $"The folder '{Folder}' for notices cannot be made: {why}", "Name another folder.") { File = Folder };
}
