namespace PoeOps.Rehearsal.Tests;

/// <summary>Tests that count or end all rehearsals of the process, or need the machine to themselves, and so run when no other does.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class Alone
{
    public const string Name = "alone";
}
