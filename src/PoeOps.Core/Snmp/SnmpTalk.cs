using System.Globalization;

namespace PoeOps.Snmp;

/// <summary>
/// What was asked and answered, a line for each datagram, as a transcript has it for a console: the UTC time, <c>&gt;</c> for what was sent or <c>&lt;</c> for what came, how
/// many octets, and what stands in them. Neither a community nor a key of a user is part of that, and what SNMPv3 encrypts is told as it was before.
/// </summary>
internal static class SnmpTalk
{
    /// <summary>A request that was sent.</summary>
    public static string Asked(SnmpPdu request, int octets) => Line('>', octets, $"{request.Kind}{Repeated(request)}: {string.Join(", ", request.Bindings.Select(one => one.Name))}");

    /// <summary>The answer that was waited for.</summary>
    public static string Answered(SnmpPdu answer, int octets) => Line('<', octets, $"{answer.Kind}{Error(answer)}: {string.Join(", ", answer.Bindings.Select(one => $"{one.Name} = {one.Value}"))}");

    /// <summary>A datagram that is no answer to what was asked.</summary>
    public static string Other(Heard heard, int octets) =>
        Line('<', octets, heard == Heard.AskAgain ? "what has to be known before the answer can come; the request is sent again" : "no answer to this request");

    private static string Line(char direction, int octets, string what) =>
        FormattableString.Invariant($"{SystemClock.Instance.UtcNow:yyyy-MM-dd'T'HH:mm:ss.fff'Z'} {direction} {octets} octets, {what}");

    private static string Repeated(SnmpPdu request) => request.Kind == SnmpPduKind.GetBulkRequest ? $", {Number(request.MaxRepetitions)} after each" : string.Empty;

    private static string Error(SnmpPdu answer) => answer.ErrorStatus == 0 ? string.Empty : $", error {Number(answer.ErrorStatus)} at name {Number(answer.ErrorIndex)}";

    private static string Number(int value) => value.ToString(CultureInfo.InvariantCulture);
}
