namespace PoeOps.Snmp;

/// <summary>What a PDU asks or answers (RFC 3416 section 3); the numbers are the tags on the wire. Nothing here changes anything on a device: there is no SET.</summary>
public enum SnmpPduKind
{
    /// <summary>Asks for the named objects.</summary>
    GetRequest = 0xA0,
    /// <summary>Asks for the object after each named one.</summary>
    GetNextRequest = 0xA1,
    /// <summary>Answers.</summary>
    Response = 0xA2,
    /// <summary>Asks for several objects after each named one (not in version 1).</summary>
    GetBulkRequest = 0xA5,
    /// <summary>Says why a message of version 3 was not answered.</summary>
    Report = 0xA8,
}

/// <summary>One request, answer or report.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="RequestId">What joins an answer to its request.</param>
/// <param name="Bindings">The names, and in an answer their values.</param>
public sealed record SnmpPdu(SnmpPduKind Kind, int RequestId, IReadOnlyList<VarBind> Bindings)
{
    /// <summary>The most names that are read of one message; the largest datagram holds fewer.</summary>
    public const int MostBindings = 12_000;

    /// <summary>The error of an answer, 0 for none (RFC 3416 section 3).</summary>
    public int ErrorStatus { get; init; }

    /// <summary>Which of the names the error is about, the first at 1; 0 for none.</summary>
    public int ErrorIndex { get; init; }

    /// <summary>In GETBULK: how many of the names are asked for once.</summary>
    public int NonRepeaters
    {
        get => ErrorStatus;
        init => ErrorStatus = value;
    }

    /// <summary>In GETBULK: how often each of the other names is asked for.</summary>
    public int MaxRepetitions
    {
        get => ErrorIndex;
        init => ErrorIndex = value;
    }

    internal void Write(BerWriter writer)
    {
        if (Kind is not (SnmpPduKind.GetRequest or SnmpPduKind.GetNextRequest or SnmpPduKind.Response or SnmpPduKind.GetBulkRequest or SnmpPduKind.Report))
        {
            throw new InvalidOperationException("Only what reads, answers and reports can be written.");
        }

        int mark = writer.Length;
        for (int i = Bindings.Count - 1; i >= 0; i--)
        {
            int one = writer.Length;
            writer.Value(Bindings[i].Value);
            writer.Name(Bindings[i].Name);
            writer.Wrap(one);
        }

        writer.Wrap(mark);
        writer.Integer(ErrorIndex);
        writer.Integer(ErrorStatus);
        writer.Integer(RequestId);
        writer.Wrap(mark, (byte)Kind);
    }

    internal static SnmpPdu? Read(BerReader reader)
    {
        byte tag = reader.NextTag;
        if ((SnmpPduKind)tag is not (SnmpPduKind.GetRequest or SnmpPduKind.GetNextRequest or SnmpPduKind.Response or SnmpPduKind.GetBulkRequest or SnmpPduKind.Report))
        {
            reader.Fail($"its PDU has the tag {tag:X2}, which is none of reading");
            return null;
        }

        int outer = reader.Enter("the PDU", tag);
        int requestId = reader.Integer("the request id");
        int status = reader.Integer("the error status");
        int index = reader.Integer("the error index");
        List<VarBind> bindings = [];
        int list = reader.Enter("the list of names");
        while (reader.HasMore)
        {
            int one = reader.Enter("a name with its value");
            Oid name = reader.Name();
            SnmpValue value = reader.Value();
            reader.Leave(one);
            bindings.Add(new VarBind(name, value));
            if (bindings.Count > MostBindings)
            {
                reader.Fail("it has more names than a datagram holds");
            }
        }

        reader.Leave(list);
        reader.Leave(outer);
        return reader.Wrong is null ? new SnmpPdu((SnmpPduKind)tag, requestId, bindings) { ErrorStatus = status, ErrorIndex = index } : null;
    }
}
