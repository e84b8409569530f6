"""Load, judge, say: the few calls that a notebook needs."""

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from winrate_tools import __version__
from winrate_tools.answers import Answer
from winrate_tools.arguments import demanding_tables
from winrate_tools.columns import RANKING_COLUMNS
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.errors import OutputError
from winrate_tools.files import check_target, write_whole
from winrate_tools.settings import Settings
from winrate_tools.tables import ArchetypeTable, CardTable, Source

if TYPE_CHECKING:
    import pandas as pd

    from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
    from winrate_tools.goals import Goals
    from winrate_tools.report.document import Document


Files = dict[Path, bytes]
"""What is written where, in order."""
Choices = TypeVar("Choices", Settings, "Goals")


@dataclass(frozen=True, slots=True)
class Ranking(Answer):
    """A judged pool, with the settings and the source that it came from.

    Attributes
    ----------
    verdict : PoolVerdict
        What the data say, card by card and together.
    settings : Settings
        Every choice behind it.
    source : Source
        Where the table came from and what was said while reading it.

    Examples
    --------
    >>> table = CardTable(["Ash Vine", "Tin Moth"], games=[4000, 4000], wins=[1600, 2400])
    >>> ranking = rank(table, baseline=0.5, margin=0.02, allowance=1)
    >>> [(card.card, card.verdict) for card in ranking.verdict.cards]
    [('Ash Vine', 'cut'), ('Tin Moth', 'keep')]
    """

    verdict: PoolVerdict
    settings: Settings
    source: Source

    @property
    def cuts(self) -> tuple[CardVerdict, ...]:
        """Cards to cut, the weakest first."""
        return tuple(card for card in self.verdict.cards if card.verdict == "cut")

    @property
    def archetypes(self) -> "ArchetypePool | None":
        """Verdicts on the archetypes, the weakest first; None if the table names none."""
        return self.verdict.archetypes

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, `winrate_tools.columns.RANKING_COLUMNS`."""
        return tuple(RANKING_COLUMNS)

    @property
    def rows(self) -> list[dict[str, Any]]:
        """One row a card, the weakest first."""
        return [{n: getattr(card, n) for n in self.columns} for card in self.verdict.cards]

    @property
    def frame(self) -> "pd.DataFrame":
        """The rows as a frame of pandas."""
        frame: pd.DataFrame = self.to_frame()
        return frame

    @property
    def document(self) -> "Document":
        """The ranking, as the command `rank` prints it."""
        from winrate_tools.report.cards.ranking import ranking_document

        return ranking_document(self.verdict, self.source, self.verdict.cards)

    @property
    def report(self) -> "Document":
        """The cut report."""
        from winrate_tools.report.cards.sections import cut_report

        return cut_report(self.verdict, self.source, origins={}, version=__version__)


@demanding_tables
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
    chosen = chosen_of(settings or Settings(), choices)
    return Ranking(judge(cards, chosen, archetypes=archetypes), chosen, cards.source)


def chosen_of(given: Choices, choices: dict[str, Any]) -> Choices:
    """Replace single fields of settings or goals by what was chosen in their place.

    Parameters
    ----------
    given : Settings or Goals
        Every choice at once.
    choices : dict of str to object
        Field to what it is to be.

    Returns
    -------
    Settings or Goals

    Raises
    ------
    TypeError
        If there is no such field.

    Examples
    --------
    >>> chosen_of(Settings(), {"sure": 0.8}).sure
    0.8
    """
    if unknown := sorted(set(choices) - {field.name for field in fields(given)}):
        name = type(given).__name__
        msg = f"there is no setting {unknown[0]!r}; {name} lists them"
        raise TypeError(msg)
    return replace(given, **choices)


@demanding_tables
def write_report(answer: Answer, path: str | Path, *, force: bool = False) -> Path:
    """Write the cut report of a ranking, or any other answer, as the file's ending says.

    Parameters
    ----------
    answer : Answer
        A `Ranking`, or what another job of this library gave.
    path : str or Path
        File to write; its folder must exist. ``.html`` is a page, ``.xlsx`` the workbook of a
        ranking (with the extra of that name), ``.txt`` plain text, ``.md`` or no ending
        markdown, with its pictures as SVG files beside it.
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
    SettingError
        If `answer` is none.
    MissingExtraError
        If a workbook is asked for and the library that writes it is not installed.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> table = CardTable(["Ash Vine", "Tin Moth"], games=[4000, 4000], wins=[1600, 2400])
    >>> with TemporaryDirectory() as folder:
    ...     path = write_report(rank(table, baseline=0.5), f"{folder}/cuts.txt")
    ...     print(path.read_text().splitlines()[0])
    Cut report for <memory>
    """
    target = Path(path)
    ending = target.suffix.lower()
    if ending not in WRITERS:
        msg = f"a report must end in .md, .html, .xlsx or .txt, got {ending}"
        raise OutputError(msg)
    check_target(target, force=force)
    files = WRITERS[ending](answer, target)
    for file in files:
        check_target(file, force=force)
    for file, data in files.items():
        write_whole(file, data)
    return target


def _markdown(answer: Answer, target: Path) -> Files:
    from winrate_tools.report.forms import markdown

    document = answer.report
    pictures = markdown.picture_files(document, target.stem)
    beside = {target.with_name(name): picture.encode() for name, picture in pictures.items()}
    return {**beside, target: markdown.render(document, target.stem).encode()}


def _text(answer: Answer, target: Path) -> Files:
    from winrate_tools.report.forms import text

    return {target: text.render(answer.report).encode()}


def _page(answer: Answer, target: Path) -> Files:
    from winrate_tools.report.page.page import render
    from winrate_tools.report.page.plain import plain_page

    if not isinstance(answer, Ranking):
        return {target: plain_page(answer.report).encode()}
    page = render(answer.verdict, answer.source, origins={}, version=__version__)
    return {target: page.encode()}


def _workbook(answer: Answer, target: Path) -> Files:
    from winrate_tools.report.cards.sheet import workbook

    if not isinstance(answer, Ranking):
        msg = f"only a ranking has a workbook; write {target.stem}.md, .html or .txt"
        raise OutputError(msg)
    pool, settings = answer.verdict, answer.settings
    book = workbook(pool, pool.cards, answer.source, settings, origins={}, version=__version__)
    return {target: book}


WRITERS: dict[str, Callable[[Answer, Path], Files]] = {
    "": _markdown,
    ".md": _markdown,
    ".markdown": _markdown,
    ".txt": _text,
    ".html": _page,
    ".htm": _page,
    ".xlsx": _workbook,
}
"""What the ending of a report's name promises."""
