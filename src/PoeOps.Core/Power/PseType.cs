namespace PoeOps.Power;

/// <summary>The Type of a PSE (IEEE 802.3): which clause it works by, and how much it can give.</summary>
public enum PseType
{
    /// <summary>Nobody says.</summary>
    Unknown = 0,
    /// <summary>Clause 33: two pairs, up to class 3.</summary>
    Type1 = 1,
    /// <summary>Clause 33: two pairs, up to class 4.</summary>
    Type2 = 2,
    /// <summary>Clause 145: up to class 6, or class 4 on each pairset.</summary>
    Type3 = 3,
    /// <summary>Clause 145: up to class 8, or class 5 on each pairset.</summary>
    Type4 = 4,
}

/// <summary>The clause of IEEE 802.3 by which a PSE works.</summary>
public enum PseClause
{
    /// <summary>Nobody says.</summary>
    Unknown = 0,
    /// <summary>Clause 33: Types 1 and 2, two pairs, classes 0 to 4.</summary>
    Clause33 = 33,
    /// <summary>Clause 145: Types 3 and 4, classes 1 to 8.</summary>
    Clause145 = 145,
}

/// <summary>What follows from a PSE's Type.</summary>
public static class PseTypes
{
    /// <summary>The clause that describes a Type.</summary>
    /// <param name="type">The Type.</param>
    public static PseClause Clause(this PseType type) => type switch
    {
        PseType.Type1 or PseType.Type2 => PseClause.Clause33,
        PseType.Type3 or PseType.Type4 => PseClause.Clause145,
        _ => PseClause.Unknown,
    };

    /// <summary>What a PSE of a Type grants a PD: one that asks for more than the Type has is granted the most that it has (IEEE 802.3), and by Type 1 as class 0.</summary>
    /// <param name="type">The Type; where nobody says it, the PD is granted what it asks for.</param>
    /// <param name="signature">What the PD shows.</param>
    public static PdSignature Grants(this PseType type, PdSignature signature) => type switch
    {
        PseType.Type1 => signature.Single > 3 ? PdSignature.Of(0) : signature,
        PseType.Type2 => signature.Single > 4 ? PdSignature.Of(4) : signature,
        PseType.Type3 => signature.Single > 6 ? PdSignature.Of(6) : PdSignature.Of(signature.Single, AtMost4(signature.PairsetA), AtMost4(signature.PairsetB)),
        _ => signature,
    };

    private static int? AtMost4(int? pairset) => pairset == 5 ? 4 : pairset;
}
