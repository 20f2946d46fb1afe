namespace PoeOps.Files;

/// <summary>How much room there is on a disk.</summary>
public static class DiskSpace
{
    /// <summary>The bytes that this user may still write in a folder.</summary>
    /// <param name="folder">The folder.</param>
    /// <returns>The number of bytes; null where the system does not say, as for a share.</returns>
    public static long? FreeAt(string folder)
    {
        try
        {
            string full = Path.GetFullPath(folder);
            StringComparison comparison = Path.DirectorySeparatorChar == '\\' ? StringComparison.OrdinalIgnoreCase : StringComparison.Ordinal;
            DriveInfo? drive = DriveInfo.GetDrives().Where(one => full.StartsWith(one.Name, comparison)).OrderByDescending(one => one.Name.Length).FirstOrDefault();
            return drive?.AvailableFreeSpace;
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            // Not knowing is no reason to refuse: a journal that cannot be written stops the run by itself.
            return null;
        }
    }
}
