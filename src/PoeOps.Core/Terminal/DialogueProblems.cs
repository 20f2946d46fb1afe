using System.Globalization;

namespace PoeOps.Terminal;

/// <summary>What a dialogue can end with, each in one sentence. Texts are handed in as they may be shown: short and without secrets.</summary>
internal static class DialogueProblems
{
    /// <summary>The device closed while something was awaited.</summary>
    /// <param name="waitingFor">What was awaited.</param>
    /// <param name="words">What it said last, in quotes; empty for nothing.</param>
    public static PoeOpsException Closed(string waitingFor, string words) =>
        Of(ProblemId.LinkClosed, $"The device closed the connection while {waitingFor} was awaited{Last(words)}.", "Check the device, and whether it allows more sessions.");

    /// <summary>The device had closed before something was to be sent, and nothing was.</summary>
    /// <param name="command">The command that was not sent.</param>
    /// <param name="words">What it said last, in quotes; empty for nothing.</param>
    public static PoeOpsException Ended(string command, string words) => Of(
        ProblemId.SessionEnded, $"The device had ended the session before '{command}' could be sent{Last(words)}.",
        "Log in again; where the device ends idle sessions, give its dialect a 'keepAlive'.");

    /// <summary>There is no session free.</summary>
    public static PoeOpsException Full(string line) => Of(
        ProblemId.SessionsFull, $"The device has no session free and said '{line}'.",
        "End a session that nobody uses, or wait; it was tried again for as long as a log-in may take.");

    /// <summary>The connection broke while something was sent.</summary>
    public static PoeOpsException ClosedInSending() =>
        Of(ProblemId.LinkClosed, "The connection was closed while something was sent.", "Check the device and the way to it.");

    /// <summary>The device does not take what is sent.</summary>
    public static PoeOpsException Blocked(TimeSpan span) =>
        Of(ProblemId.LinkBlocked, $"The device did not take what was sent to it within {Seconds(span)} s.", "Check the device and the way to it.");

    /// <summary>Nothing came.</summary>
    public static PoeOpsException Silent(TimeSpan span, string waitingFor) =>
        Of(ProblemId.LinkSilent, $"The device said nothing for {Seconds(span)} s while {waitingFor} was awaited.", "Check the device and the way to it.");

    /// <summary>It fell silent at a text that is no prompt and no question of the dialect.</summary>
    /// <param name="last">The text.</param>
    /// <param name="blank">True where a blank stands behind it, which a pattern may not leave out.</param>
    /// <param name="span">How long it was silent.</param>
    /// <param name="waitingFor">What was awaited.</param>
    public static PoeOpsException Stopped(string last, bool blank, TimeSpan span, string waitingFor) => Of(
        ProblemId.PromptNotSeen, $"The device stopped at '{last}'{(blank ? " and a blank" : string.Empty)} for {Seconds(span)} s while {waitingFor} was awaited.",
        "Add a pattern for it to the console part of the dialect; where none is there yet, to -Prompt, -UserPrompt, -PasswordPrompt or -Pager.");

    /// <summary>It went on talking until the deadline of the whole.</summary>
    public static PoeOpsException NoEnd(TimeSpan span, string waitingFor) =>
        Of(ProblemId.PromptNotSeen, $"The device did not come to an end within {Seconds(span)} s while {waitingFor} was awaited.", "Check the command and the prompts in the dialect.");

    /// <summary>An answer has outgrown every bound.</summary>
    public static PoeOpsException TooLong(int most) =>
        Of(ProblemId.AnswerTooLong, $"The device sent more than {most.ToString(CultureInfo.InvariantCulture)} characters without a prompt.", "Check the command and the prompts in the dialect.");

    /// <summary>The device refused a command.</summary>
    public static PoeOpsException Refused(string command, string line) =>
        Of(ProblemId.CommandRefused, $"The device refused '{command}' with '{line}'.", "Correct the command in the dialect, or check that the user may give it.");

    /// <summary>A text cannot be written in the encoding of the device. It may be a secret, so which character it is nobody is told.</summary>
    public static PoeOpsException NotWritable(string encoding) =>
        Of(
            ProblemId.ValueNotSafe, $"What is to be sent holds a character that {encoding} cannot write, and is not sent.",
            "Use other characters, or name the encoding of the device in the dialect.");

    private static string Last(string words) => words.Length == 0 ? string.Empty : $"; its last words: {words}";

    private static string Seconds(TimeSpan span) => span.TotalSeconds.ToString("0.#", CultureInfo.InvariantCulture);

    private static PoeOpsException Of(ProblemId id, string sentence, string advice) => new(new Problem(id, sentence, advice));
}
