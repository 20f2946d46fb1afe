using System.Text.RegularExpressions;

namespace PoeOps.Estate;

/// <summary>Gives a role to loads by name.</summary>
/// <param name="Pattern">Looked for in the name that the neighbour gave and in the port's description, without regard to case.</param>
/// <param name="Role">The role of a load that it fits.</param>
public sealed record RolePattern(Regex Pattern, Role Role);
