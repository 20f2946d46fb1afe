using System.Management.Automation;

namespace PoeOps.Cmdlets;

/// <summary>The part that knows where a path given on the line leads.</summary>
public abstract partial class PoeCommand
{
    private const string FileProvider = "FileSystem";

    /// <summary>The path on disk that a path given on the line stands for; the file need not exist. A path that leads anywhere but to a disk ends the pipeline.</summary>
    protected string FilePath(string path)
    {
        string problem;
        try
        {
            string full = SessionState.Path.GetUnresolvedProviderPathFromPSPath(path, out ProviderInfo provider, out _);
            if (provider.Name == FileProvider)
            {
                return full;
            }

            problem = $"The path '{path}' leads to what the PowerShell provider '{provider.Name}' holds, and not to a file or folder on disk.";
        }
        catch (System.Management.Automation.DriveNotFoundException)
        {
            problem = $"The path '{path}' names a drive that does not exist.";
        }
        catch (ProviderNotFoundException)
        {
            problem = $"The path '{path}' names a PowerShell provider that does not exist.";
        }

        Problem wrong = new(ProblemId.PathNotOnDisk, problem, "Give the path of a file or folder on disk; Get-PSDrive -PSProvider FileSystem lists the drives.") { Target = path };
        Fail(wrong);
        throw new PoeOpsException(wrong);
    }
}
