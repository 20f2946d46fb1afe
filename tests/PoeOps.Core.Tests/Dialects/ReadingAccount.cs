using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Holds a reading to what must be true of any: no line is lost, and nothing unread goes untold.</summary>
internal static class ReadingAccount
{
    /// <summary>Reads a capture and says what does not hold, or null.</summary>
    public static string? Wrong(Dialect dialect, string path)
    {
        byte[] capture = File.ReadAllBytes(path);
        CaptureText text = CaptureText.FromFile(path, dialect);
        Reading reading = CaptureReader.Read(dialect, text, new ReadingContext { Switch = "s", KeepLines = true });
        int lines = capture.Count(one => one == '\n') + (capture[^1] == '\n' ? 0 : 1);
        bool told = reading.Problems.Count > 0;

        // In UTF-16 a byte of value 10 may be half a character.
        bool countable = capture is not [0xFF, 0xFE, ..] and not [0xFE, 0xFF, ..] && text.Problems.All(problem => problem.Id != ProblemId.CaptureBinary);
        return text.Lines.Count != reading.Lines.Count ? $"{text.Lines.Count} lines were taken apart and {reading.Lines.Count} accounted for"
            : text.Lines.Count == 0 && text.Problems.Count == 0 ? "nothing was taken apart, and nothing told"
            : countable && lines != reading.Lines.Count ? $"the file has {lines} lines, and {reading.Lines.Count} are accounted for"
            : reading.Lines.Any(line => line.ReadAs == ReadAs.Blank && !string.IsNullOrWhiteSpace(line.Text)) ? "a line that is not blank counts as blank"
            : reading.Lines.Any(line => line.ReadAs == ReadAs.Unread) && !told ? "a line is unread, and nothing was told"
            : reading.Controllers.Any(controller => told && controller.ReadingProblems > reading.Problems.Count) ? "a controller counts more problems than there are"
            : told && reading.Controllers.Count > 0 && reading.Controllers.Sum(controller => controller.ReadingProblems) < reading.Problems.Count ? "a problem counts for no controller"
            : null;
    }
}
