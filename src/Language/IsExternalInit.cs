namespace System.Runtime.CompilerServices;

/// <summary>What the compiler asks for where a property is set by <c>init</c>; netstandard2.0 has none.</summary>
internal static class IsExternalInit;
