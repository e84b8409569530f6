"""The picture of all cards as a file for slides and prints, drawn by matplotlib."""

import warnings
from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any

from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.errors import MissingExtraError, OutputError
from winrate_tools.report import words
from winrate_tools.report.figures.estimates import Bar, domain, groups, wide_level
from winrate_tools.report.figures.marks import CLASSES, GLYPHS
from winrate_tools.report.forms.glyphs import visible
from winrate_tools.report.palette import LIGHT

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

UNDATED: dict[str, dict[str, str | None]] = {
    ".png": {"Software": None},
    ".svg": {"Date": None},
    ".pdf": {"CreationDate": None},
}
"""What each kind of file would otherwise say of when and by what it was made."""
WIDTH, ROW, AROUND = 8.0, 0.16, 1.4
DPI, TALLEST = 110, 60_000
REPEATABLE: Any = {"svg.hashsalt": "winrate_tools", "svg.fonttype": "none", "pdf.fonttype": 42}


def plot(pool: PoolVerdict, ending: str) -> bytes:
    """Draw every card against the line, as a file of its own.

    Parameters
    ----------
    pool : PoolVerdict
        A judged pool.
    ending : str
        Kind of picture: ``".png"``, ``".svg"`` or ``".pdf"``, in either case.

    Returns
    -------
    bytes
        The same pool gives the same bytes.

    Raises
    ------
    OutputError
        If the ending is another.
    MissingExtraError
        If matplotlib is not installed.
    """
    kind = ending.lower()
    if kind not in UNDATED:
        msg = f"a plot must end in {', '.join(UNDATED)}, got {ending or 'no ending'}"
        raise OutputError(msg)
    try:
        import matplotlib as mpl
    except ImportError as error:
        msg = 'plots need matplotlib: pip install "winrate_tools[plot]"'
        raise MissingExtraError(msg) from error
    written = BytesIO()
    with mpl.rc_context(REPEATABLE), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph")  # a letter that the font lacks
        drawn(pool).savefig(written, format=kind[1:], metadata=UNDATED[kind])
    return written.getvalue()


def drawn(pool: PoolVerdict) -> "Figure":
    """Draw every card against the line, the weakest of each group first."""
    from matplotlib.figure import Figure

    together = groups(pool)
    height = AROUND + ROW * sum(len(group.bars) + 2 for group in together)
    figure = Figure((WIDTH, height), dpi=min(DPI, TALLEST / height), layout="constrained")
    axes = figure.add_subplot()
    rows: list[tuple[int, Bar]] = []
    row = 0
    for group in together:
        _say(axes, row, group.title, weight="bold")
        rows += enumerate(group.bars, row + 1)
        row += len(group.bars) + 2
    _draw_bars(axes, rows)
    _finish(axes, pool, rows)
    return figure


def _draw_bars(axes: "Axes", rows: Sequence[tuple[int, Bar]]) -> None:
    for has_games, style in ((True, "solid"), (False, "dotted")):
        bars = [(row, bar) for row, bar in rows if bool(bar.card.games) == has_games]
        places = [row for row, _ in bars]
        colours = [LIGHT[CLASSES[bar.card.verdict]] for _, bar in bars]
        lows, highs = [bar.low for _, bar in bars], [bar.high for _, bar in bars]
        axes.hlines(places, lows, highs, colours, linewidth=1)
        lows, highs = [bar.card.low for _, bar in bars], [bar.card.high for _, bar in bars]
        axes.hlines(places, lows, highs, colours, linewidth=4, linestyle=style)
        middle = [bar.card.estimate for _, bar in bars]
        axes.scatter(middle, places, 20, LIGHT["ground"], edgecolors=colours, zorder=3)
    for row, bar in rows:
        verdict = bar.card.verdict
        _say(axes, row, GLYPHS[verdict], color=LIGHT[CLASSES[verdict]])


def _say(axes: "Axes", row: float, text: str, **looks: Any) -> None:
    """Write at the left edge of a row; what looks like a formula is none."""
    across = axes.get_yaxis_transform()
    axes.text(
        0.006, row, visible(text), transform=across, size=7, va="center", parse_math=False,
        **looks,
    )  # fmt: skip


def _finish(axes: "Axes", pool: PoolVerdict, rows: Sequence[tuple[int, Bar]]) -> None:
    names = [visible(bar.card.card) for _, bar in rows]
    axes.axvline(pool.line, color=LIGHT["line"], linewidth=1.2)
    axes.set_xlim(*domain(pool))
    axes.set_ylim(rows[-1][0] + 1, -1)
    axes.set_yticks([row for row, _ in rows], labels=names, fontsize=7, parse_math=False)
    axes.tick_params(axis="y", length=0)
    axes.tick_params(axis="x", labeltop=True, labelsize=8)
    axes.xaxis.set_major_formatter(lambda rate, _: f"{words.plain(100 * rate)}%")
    axes.grid(axis="x", color=LIGHT["rule"], linewidth=0.6)
    axes.set_axisbelow(True)
    for side in ("top", "left", "right"):
        axes.spines[side].set_visible(False)
    axes.set_title(_title(pool), loc="left", size=9)


def _title(pool: PoolVerdict) -> str:
    narrow = words.range_name(pool.sure)
    wide = words.range_name((1 + wide_level(pool.sure)) / 2)
    return (
        f"▼ cut   ○ more games   ▲ keep   thick {narrow}, thin {wide}   "
        f"line {words.exact_percent(pool.line)}"
    )
