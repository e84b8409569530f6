"""Load, judge, say: the few calls that a notebook needs."""

from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from winrate_tools import __version__
from winrate_tools.columns import RANKING_COLUMNS
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.errors import OutputError
from winrate_tools.files import check_target, write_whole
from winrate_tools.settings import Settings
from winrate_tools.tables import ArchetypeTable, CardTable, Source

if TYPE_CHECKING:
    import pandas as pd

    from winrate_tools.report.document import Document


Files = dict[Path, bytes]
"""What is written where, in order."""


@dataclass(frozen=True, slots=True)
class Ranking:
    """A judged pool, with the settings and the source that it came from.

    Attributes
    ----------
    verdict : PoolVerdict
        What the data say, card by card and together.
    settings : Settings
        Every choice behind it.
    source : Source
        Where the table came from and what was said while reading it.
    """

    verdict: PoolVerdict
    settings: Settings
    source: Source

    @property
    def cuts(self) -> tuple[CardVerdict, ...]:
        """Cards to cut, the weakest first."""
        return tuple(card for card in self.verdict.cards if card.verdict == "cut")

    @property
    def archetypes(self) -> ArchetypePool | None:
        """Verdicts on the archetypes, the weakest first; None if the table names none."""
        return self.verdict.archetypes

    @property
    def frame(self) -> "pd.DataFrame":
        """One row a card, the weakest first; the columns are `columns.RANKING_COLUMNS`.

        Counts are nullable whole numbers, unknown ones missing; reasons are joined by commas.
        """
        import pandas as pd

        rows = [_row(card) for card in self.verdict.cards]
        frame = pd.DataFrame(rows, columns=list(RANKING_COLUMNS))
        counts = [name for name, column in RANKING_COLUMNS.items() if column.kind == "count"]
        return frame.astype(dict.fromkeys(counts, "Int64"))

    def _repr_html_(self) -> str:
        """Show a notebook the same table as every report does."""
        from winrate_tools.report.cards.notebook import notebook_table

        return notebook_table(self.verdict, self.source)


def _row(card: CardVerdict) -> dict[str, Any]:
    return {**asdict(card), "reasons": ", ".join(card.reasons)}


def rank(
    cards: CardTable,
    settings: Settings | None = None,
    *,
    archetypes: ArchetypeTable | None = None,
    **choices: Any,
) -> Ranking:
    """Estimate and judge every card of a table.

    Parameters
    ----------
    cards : CardTable
        Any rows; those of one card are added up.
    settings : Settings, optional
        Every choice at once; the defaults if not given.
    archetypes : ArchetypeTable, optional
        Games and wins of whole decks, for the verdicts on archetypes.
    **choices
        Single fields of `Settings`, such as ``baseline=0.55`` or ``margin=0.02``; they win
        over `settings`.

    Returns
    -------
    Ranking
        Cards from the weakest estimate up.

    Raises
    ------
    SettingError
        If a choice is out of its bounds.
    FitError
        If the table cannot carry an estimate.

    Examples
    --------
    >>> table = CardTable(["Ash Vine", "Tin Moth"], games=[4000, 4000], wins=[1600, 2400])
    >>> ranking = rank(table, baseline=0.5, margin=0.02, allowance=1)
    >>> [card.card for card in ranking.cuts]
    ['Ash Vine']
    >>> ranking.frame[["card", "games", "verdict"]].values.tolist()
    [['Ash Vine', 4000, 'cut'], ['Tin Moth', 4000, 'keep']]
    """
    given = settings or Settings()
    if unknown := sorted(set(choices) - set(Settings.__dataclass_fields__)):
        msg = f"rank() has no setting {unknown[0]!r}; Settings lists them"
        raise TypeError(msg)
    chosen = replace(given, **choices)
    return Ranking(judge(cards, chosen, archetypes=archetypes), chosen, cards.source)


def write_report(ranking: Ranking, path: str | Path, *, force: bool = False) -> Path:
    """Write the cut report of a ranking, as the ending of the file's name says.

    Parameters
    ----------
    ranking : Ranking
        A judged pool.
    path : str or Path
        File to write; its folder must exist. ``.html`` is the page, ``.xlsx`` a workbook (with
        the extra of that name), ``.txt`` plain text, ``.md`` or no ending markdown, with its
        pictures as SVG files beside it.
    force : bool, optional
        Whether a file that exists may go.

    Returns
    -------
    Path
        The file written.

    Raises
    ------
    OutputError
        If the file, or that of a picture, exists and `force` is not given, cannot be written,
        or its ending promises something else.
    MissingExtraError
        If a workbook is asked for and the library that writes it is not installed.
    """
    target = Path(path)
    ending = target.suffix.lower()
    if ending not in WRITERS:
        msg = f"a report must end in .md, .html, .xlsx or .txt, got {ending}"
        raise OutputError(msg)
    check_target(target, force=force)
    files = WRITERS[ending](ranking, target)
    for file in files:
        check_target(file, force=force)
    for file, data in files.items():
        write_whole(file, data)
    return target


def _document(ranking: Ranking) -> "Document":
    from winrate_tools.report.cards import sections

    return sections.cut_report(ranking.verdict, ranking.source, origins={}, version=__version__)


def _markdown(ranking: Ranking, target: Path) -> Files:
    from winrate_tools.report.forms import markdown

    document = _document(ranking)
    pictures = markdown.picture_files(document, target.stem)
    beside = {target.with_name(name): picture.encode() for name, picture in pictures.items()}
    return {**beside, target: markdown.render(document, target.stem).encode()}


def _text(ranking: Ranking, target: Path) -> Files:
    from winrate_tools.report.forms import text

    return {target: text.render(_document(ranking)).encode()}


def _page(ranking: Ranking, target: Path) -> Files:
    from winrate_tools.report.page.page import render

    pool, source = ranking.verdict, ranking.source
    return {target: render(pool, source, origins={}, version=__version__).encode()}


def _workbook(ranking: Ranking, target: Path) -> Files:
    from winrate_tools.report.cards.sheet import workbook

    pool, source = ranking.verdict, ranking.source
    book = workbook(pool, pool.cards, source, ranking.settings, origins={}, version=__version__)
    return {target: book}


WRITERS: dict[str, Callable[[Ranking, Path], Files]] = {
    "": _markdown,
    ".md": _markdown,
    ".markdown": _markdown,
    ".txt": _text,
    ".html": _page,
    ".htm": _page,
    ".xlsx": _workbook,
}
"""What the ending of a report's name promises."""
