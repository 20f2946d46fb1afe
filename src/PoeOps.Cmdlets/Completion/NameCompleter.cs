using System.Collections;
using System.Management.Automation;
using System.Management.Automation.Language;

namespace PoeOps.Cmdlets.Completion;

/// <summary>
/// Offers names while somebody writes a line. It reads the files that the same line names, and nothing over the network. Where there are no names, or no
/// file to find them in, nothing is offered: the command itself says what is wrong when it is run.
/// </summary>
internal abstract class NameCompleter : IArgumentCompleter
{
    /// <inheritdoc/>
    public IEnumerable<CompletionResult> CompleteArgument(string commandName, string parameterName, string wordToComplete, CommandAst commandAst, IDictionary fakeBoundParameters)
    {
        LineWord word = new(wordToComplete);
        try
        {
            return [.. InPlaceOf(word.Text), .. Offered(new GivenLine(fakeBoundParameters ?? new Hashtable(), commandAst), word.Text).Where(one => word.Fits(one.Name)).Select(one => Result(one, word))];
        }
        catch (Exception exception) when (exception is PoeOpsException or RuntimeException or InvalidOperationException or IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            // A line that is not finished yet may name a drive or folder that is not there.
            return [];
        }
    }

    /// <summary>The names, those that do not fit the word as well.</summary>
    /// <param name="line">What else stands on the line.</param>
    /// <param name="word">The word so far, without quotes.</param>
    protected abstract IEnumerable<OfferedName> Offered(GivenLine line, string word);

    /// <summary>What is offered before the names, for a word that is none; nothing as a rule.</summary>
    protected virtual IEnumerable<CompletionResult> InPlaceOf(string word) => [];

    /// <summary>A name as the parameter takes it.</summary>
    protected virtual string AsValue(string name) => name;

    private CompletionResult Result(OfferedName one, LineWord word) =>
        new(word.Written(AsValue(one.Name)), one.Name, CompletionResultType.ParameterValue, one.About ?? one.Name);
}
