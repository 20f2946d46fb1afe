namespace PoeOps.Help;

/// <summary>What Get-Help says of a cmdlet.</summary>
internal sealed record CmdletHelp
{
    /// <summary>Verb, hyphen, noun.</summary>
    public required string Name { get; init; }

    /// <summary>The first sentence of the description.</summary>
    public required string Synopsis { get; init; }

    /// <summary>The description, a paragraph each.</summary>
    public required IReadOnlyList<string> Description { get; init; }

    /// <summary>The parameter sets, the default one first.</summary>
    public required IReadOnlyList<string> Sets { get; init; }

    /// <summary>The parameters, in the order in which they are declared.</summary>
    public required IReadOnlyList<ParameterHelp> Parameters { get; init; }

    /// <summary>What it takes from the pipeline.</summary>
    public required IReadOnlyList<TypeHelp> Inputs { get; init; }

    /// <summary>What it gives.</summary>
    public required IReadOnlyList<TypeHelp> Outputs { get; init; }

    /// <summary>The notes, a paragraph each.</summary>
    public required IReadOnlyList<string> Notes { get; init; }

    /// <summary>The examples, in order.</summary>
    public required IReadOnlyList<ExampleHelp> Examples { get; init; }

    /// <summary>Cmdlets and topics to read next.</summary>
    public required IReadOnlyList<string> Links { get; init; }
}

/// <summary>A type that goes in or comes out.</summary>
/// <param name="Name">Its full name.</param>
/// <param name="Text">What it is.</param>
internal sealed record TypeHelp(string Name, string Text);

/// <summary>An example.</summary>
/// <param name="Code">What is typed.</param>
/// <param name="Text">What that gives.</param>
internal sealed record ExampleHelp(string Code, string Text);
