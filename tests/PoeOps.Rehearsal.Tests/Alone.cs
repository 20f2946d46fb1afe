namespace PoeOps.Rehearsal.Tests;

/// <summary>Tests that count or end all rehearsals of the process, and so run when no other does.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class Alone
{
    public const string Name = "alone";
}
