using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>Writes the rows of a replay down.</summary>
internal sealed class ReplayRows
{
    private readonly string _file;
    private readonly List<ReplayRow> _rows = [];
    private DateTime? _begun;

    /// <summary>Writes for a file.</summary>
    public ReplayRows(string file) => _file = file;

    /// <summary>What has been written.</summary>
    public IReadOnlyList<ReplayRow> All => _rows;

    /// <summary>Which refresh is being written; 0 before the first.</summary>
    public int Refresh { get; private set; }

    /// <summary>Another refresh begins.</summary>
    public void Begin(LogPiece piece)
    {
        Refresh++;
        _begun = piece.At;
    }

    /// <summary>Writes what is no event of the device.</summary>
    public void Add(LogPiece piece, ReplayEvent what, string text) => _rows.Add(Row(piece, what) with { Text = Excerpt.Of(text) });

    /// <summary>Writes what a device said.</summary>
    /// <param name="piece">Where it stands.</param>
    /// <param name="said">What was understood.</param>
    /// <param name="what">What to call it; null for what it is.</param>
    public void Add(LogPiece piece, LinkEvent said, ReplayEvent? what = null) =>
        _rows.Add(Row(piece, what ?? Of(said.Kind)) with { Stage = said.Stage, Percent = said.Percent, Because = said.Because ?? string.Empty, Text = said.Text });

    private ReplayRow Row(LogPiece piece, ReplayEvent what)
    {
        _begun ??= piece.At;
        return new ReplayRow
        {
            File = PlainText.Of(_file),
            Line = piece.Line,
            Refresh = Refresh,
            Time = PlainText.Of(piece.Time),
            AtSeconds = piece.At is { } at && _begun is { } begun ? Math.Round((at - begun).TotalSeconds, 3) : null,
            Event = what,
        };
    }

    private static ReplayEvent Of(LinkEventKind kind) => kind switch
    {
        LinkEventKind.StageBegan => ReplayEvent.StageBegan,
        LinkEventKind.Progress => ReplayEvent.Progress,
        LinkEventKind.StageEnded => ReplayEvent.StageEnded,
        LinkEventKind.Succeeded => ReplayEvent.Succeeded,
        LinkEventKind.Failed => ReplayEvent.Failed,
        LinkEventKind.Busy => ReplayEvent.Busy,
        LinkEventKind.PromptBack => ReplayEvent.PromptBack,
        _ => ReplayEvent.Other,
    };
}
