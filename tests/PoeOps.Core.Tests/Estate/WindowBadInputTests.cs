using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

/// <summary>What a user is told of windows that cannot be, whole.</summary>
public sealed class WindowBadInputTests : IDisposable
{
    private const string Advice = "Write numbers from 1 to 5, and \"last\" or -1 for the last of the month.";
    private const string Dates = "Correct 'days', 'week', 'from' or 'until', or remove the window.";
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("'days': 'Friday', 'week': 0", "JsonBadValue 2 sites[0].windows[0].week: Found the number 0 where a week of the month was expected. " + Advice)]
    [InlineData("'days': 'Friday', 'week': [1, 6]", "JsonBadValue 2 sites[0].windows[0].week[1]: Found the number 6 where a week of the month was expected. " + Advice)]
    [InlineData("'days': 'Friday', 'week': -2", "JsonBadValue 2 sites[0].windows[0].week: Found the number -2 where a week of the month was expected. " + Advice)]
    [InlineData("'days': 'Friday', 'week': 2.5", "JsonBadValue 2 sites[0].windows[0].week: Found the number 2.5 where a week of the month was expected. " + Advice)]
    [InlineData("'days': 'Friday', 'week': 'Last'", "JsonBadValue 2 sites[0].windows[0].week: Found the text 'Last' where a week of the month was expected. " + Advice)]
    [InlineData("'days': 'Friday', 'week': [true]", "JsonBadValue 2 sites[0].windows[0].week[0]: Found true where a week of the month was expected. " + Advice)]
    [InlineData("'days': 'Friday', 'week': []", "WindowImpossible 2 sites[0].windows[0].week: The window has no weeks, so it never opens. Name a week of the month, or remove 'week' for every week.")]
    [InlineData("'days': []", "WindowImpossible 2 sites[0].windows[0].days: The window has no days, so it never opens. Name at least one day of the week.")]
    [InlineData("'days': 'Friday', 'from': '2026-12-02', 'until': '2026-12-01'", "WindowImpossible 2 sites[0].windows[0].until: The window opens from 2026-12-02 until 2026-12-01, so it ends before it begins. Let 'until' be the last day on which it may open; that day belongs to it.")]
    [InlineData("'days': 'Friday', 'from': '1.12.2026'", "JsonBadValue 2 sites[0].windows[0].from: '1.12.2026' is no date. Write it as in 2026-12-01.")]
    [InlineData("'days': 'Friday', 'until': '2026-02-29'", "JsonBadValue 2 sites[0].windows[0].until: '2026-02-29' is no date. Write it as in 2027-06-30.")]
    [InlineData("'days': 'Friday', 'from': 20261201", "JsonWrongType 2 sites[0].windows[0].from: Found the number 20261201 where a text was expected. Write a text there.")]
    [InlineData("'days': ['Friday'], 'from': '2026-12-05', 'until': '2026-12-10'", "WindowImpossible 2 sites[0].windows[0]: The window never opens: no such day of the week or month is there from 2026-12-05 until 2026-12-10. " + Dates)]
    [InlineData("'days': 'Tuesday', 'week': 5, 'from': '2026-10-01', 'until': '2026-11-30'", "WindowImpossible 2 sites[0].windows[0]: The window never opens: no such day of the week or month is there from 2026-10-01 until 2026-11-30. " + Dates)] // four Tuesdays each
    [InlineData("'days': 'Monday', 'everyWeeks': 2, 'from': '2026-12-01', 'until': '2026-12-13'", "WindowImpossible 2 sites[0].windows[0]: The window never opens: no such day of the week or month is there from 2026-12-01 until 2026-12-13. " + Dates)] // the Monday of its first week is before, the next is the 14th
    [InlineData("'days': 'Monday', 'from': '9999-12-31'", "WindowImpossible 2 sites[0].windows[0]: The window never opens: no such day of the week or month is there from 9999-12-31 until 9999-12-31. " + Dates)] // a Friday
    [InlineData("'days': 'Monday', 'everyWeeks': 2", "WindowImpossible 2 sites[0].windows[0].everyWeeks: The window opens every 2 weeks, and nothing says from which week they are counted. Add 'from' with a day of a week in which it opens.")]
    [InlineData("'days': 'Monday', 'everyWeeks': 2, 'week': 1, 'from': '2026-12-01'", "WindowImpossible 2 sites[0].windows[0].everyWeeks: The window has both 'week' and 'everyWeeks', and one of them says when it comes back. Keep 'week' for days of the month, or 'everyWeeks' for a count of weeks.")]
    [InlineData("'days': 'Monday', 'everyWeeks': 0, 'from': '2026-12-01'", "JsonBadValue 2 sites[0].windows[0].everyWeeks: Found the number 0 where a whole number of 1 to 52 was expected. Write a number within these bounds.")]
    public void A_rule_that_cannot_be_is_told_whole(string rule, string told) =>
        Assert.Equal([told], Told.Of(Read($"'windows': [ {{ {rule}, 'opens': '22:30', 'length': 'PT5H' }} ]").Problems));

    [Theory]
    [InlineData("PT0S", "WindowImpossible 2 sites[0].windows[0].length: The window is 'PT0S' long, and more than no time and at most 31 days were expected. Write how long the window is open, such as PT5H.")]
    [InlineData("P31DT1S", "WindowImpossible 2 sites[0].windows[0].length: The window is 'P31DT1S' long, and more than no time and at most 31 days were expected. Write how long the window is open, such as PT5H.")]
    [InlineData("-PT5H", "JsonBadValue 2 sites[0].windows[0].length: '-PT5H' is no length of time. Write it in the form of ISO 8601, such as PT5H or PT4H30M.")]
    [InlineData("P1M", "JsonBadValue 2 sites[0].windows[0].length: 'P1M' is no length of time. Write it in the form of ISO 8601, such as PT5H or PT4H30M.")]
    public void A_length_that_cannot_be_is_told_whole(string length, string told) =>
        Assert.Equal([told], Told.Of(Read($"'windows': [ {{ 'days': 'Friday', 'opens': '22:30', 'length': '{length}' }} ]").Problems));

    [Theory]
    [InlineData("first", "JsonBadValue 2 sites[0].localTime: 'first' is none of the two that a local time can mean; the nearest is 'First'. Write First or Second.")]
    [InlineData("Later", "JsonBadValue 2 sites[0].localTime: 'Later' is none of the two that a local time can mean; the nearest is 'First'. Write First or Second.")]
    public void A_choice_that_there_is_not_is_told_whole(string choice, string told) => Assert.Equal([told], Told.Of(Read($"'localTime': '{choice}'").Problems));

    [Theory]
    [InlineData("'days': ['Monday', 'Tuesday'], 'length': 'P3D'")] // longer than its own pace
    [InlineData("'days': 'Friday', 'week': [5, 'last', -1], 'length': 'P1D'")]
    [InlineData("'days': 'Friday', 'from': '2026-12-04', 'until': '2026-12-04', 'length': 'PT1M'")]
    [InlineData("'days': 'Friday', 'everyWeeks': 1, 'week': 'last', 'length': 'PT1M'")]
    public void A_rule_that_can_be_is_taken(string rule) => Assert.Empty(Told.Of(Read($"'windows': [ {{ {rule}, 'opens': '22:30' }} ]").Problems));

    [Fact]
    public void A_last_week_is_the_same_as_minus_one() =>
        Assert.Equal([[5, -1], [-1]], Read("'windows': [ { 'days': 'Friday', 'week': [5, 'last', -1, 5], 'opens': '22:30', 'length': 'PT1H' }, { 'days': 'Friday', 'week': -1, 'opens': '22:30', 'length': 'PT1H' } ]")
            .Estate!.Sites[0].Windows.Select(rule => rule.Weeks.ToArray()));

    private EstateResult Read(string keys) => EstateFile.Read(_folder.Write(
        "a.estate.json",
        "{ \"name\": \"Lagoon\", \"roles\": [ { \"name\": \"lamp\", \"restartSeconds\": 5, \"default\": true } ], \"sites\": [\n{ \"name\": \"quay\", \"zone\": \"UTC\", \"switches\": [], " + keys.Replace('\'', '"') + " } ] }"));
}
