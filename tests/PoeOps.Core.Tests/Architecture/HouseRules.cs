using System.Text.RegularExpressions;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PoeOps.Core.Tests.Architecture;

/// <summary>Rules for every file in src: one place for Posh-SSH, estates read with their zones checked, nothing swallowed, nothing left for later.</summary>
internal static partial class HouseRules
{
    private const string PoshSsh = "src/PoeOps.Cmdlets/PoshSsh.cs";
    private const string CheckedEstate = "src/PoeOps.Core/Calendar/CheckedEstate.cs";

    /// <summary>One sentence for each place that breaks a rule.</summary>
    public static IReadOnlyList<string> Check(IEnumerable<SourceFile> sources) =>
        [.. sources.SelectMany(file => (IEnumerable<string>)[.. NamesOfPoshSsh(file), .. UncheckedEstates(file), .. LeftForLater(file), .. EmptyCatches(file)])];

    private static IEnumerable<string> NamesOfPoshSsh(SourceFile file) =>
        file.Path == PoshSsh
            ? []
            : PoshSshNames().Matches(file.Text).Select(match => $"{file.At(match.Index)}: '{match.Value}' may stand only in {PoshSsh}.");

    private static IEnumerable<string> UncheckedEstates(SourceFile file) =>
        file.Path == CheckedEstate
            ? []
            : EstateReads().Matches(file.Text).Select(match => $"{file.At(match.Index)}: '{match.Value}' does not ask whether time zones are there: use CheckedEstate.");

    private static IEnumerable<string> LeftForLater(SourceFile file) =>
        LaterWords().Matches(file.Text).Select(match => $"{file.At(match.Index)}: '{match.Value}': do it, or file it; not in the code.");

    private static IEnumerable<string> EmptyCatches(SourceFile file) =>
        file.Tree.DescendantNodes().OfType<CatchClauseSyntax>().Where(clause => clause.Block.Statements.Count == 0)
            .Select(clause => $"{file.At(clause)}: an empty catch loses what went wrong.");

    [GeneratedRegex(@"Posh-SSH|\b(New|Get|Remove)-SSH\w+|\bRenci\b", RegexOptions.IgnoreCase)]
    private static partial Regex PoshSshNames();

    [GeneratedRegex(@"\bEstateFile\.Read(Csv)?(?=\()")]
    private static partial Regex EstateReads();

    [GeneratedRegex(@"\b(TODO|FIXME|HACK|XXX)\b")]
    private static partial Regex LaterWords();
}
