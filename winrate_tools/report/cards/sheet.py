"""A judged pool as a workbook: full numbers to sort by, beside the words that reports print."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from io import BytesIO
from typing import Any, NamedTuple

from winrate_tools.columns import RANKING_COLUMNS, Column
from winrate_tools.decide.cards.since import Since
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.errors import MissingExtraError, OutputError
from winrate_tools.report.cards import records
from winrate_tools.report.cards.card_tables import heading
from winrate_tools.report.cards.method import how_it_was_worked_out, how_to_read
from winrate_tools.report.cards.reasons import explain
from winrate_tools.report.cards.sentences import counts_sentence, expected_wrong
from winrate_tools.report.cards.since import since_section
from winrate_tools.report.document import Block, Entries, Paragraph, Section, Table
from winrate_tools.settings import MEANINGS, Settings
from winrate_tools.tables import Source

EXTRA = "xlsx"
CREATED = datetime(2000, 1, 1)
"""Stated in every workbook, so that the same pool gives the same bytes."""
MOST_ROWS = 1_048_575
"""The most cards that a sheet holds."""
WIDEST = 60
TWICE = {"estimate", "games_needed"}
"""Facts whose two columns, of numbers and of words, would go by the same heading."""

Writer = Any


class Cell(NamedTuple):
    """A value and how it is to be shown: as a number of so many decimals of a percent."""

    value: str | float | int | None
    decimals: int | None = None


def demand_writer() -> Any:
    """Return the library that writes workbooks.

    Raises
    ------
    MissingExtraError
        If it is not installed.
    """
    try:
        import xlsxwriter
    except ImportError as error:
        msg = f'workbooks need an extra: pip install "winrate_tools[{EXTRA}]"'
        raise MissingExtraError(msg) from error
    return xlsxwriter


def workbook(
    pool: PoolVerdict,
    cards: Sequence[CardVerdict],
    source: Source,
    settings: Settings,
    *,
    origins: Mapping[str, str],
    version: str,
    since: Since | None = None,
) -> bytes:
    """Write a ranking as a workbook.

    Returns
    -------
    bytes
        Sheets "Cards" (one row a card, every number whole and, beside it, as reports print
        it; texts are never formulas), "About" (settings, source, version, how to read it) and,
        where something was compared, "Since last time". The same pool gives the same bytes.

    Raises
    ------
    MissingExtraError
        If the library that writes workbooks is not installed.
    OutputError
        If there are more cards than a sheet has rows.
    """
    writer = demand_writer()
    if len(cards) > MOST_ROWS:
        msg = f"a sheet holds {MOST_ROWS:,} cards, got {len(cards):,}; write them as .csv"
        raise OutputError(msg)
    held = BytesIO()
    book = writer.Workbook(held, {"in_memory": True})
    book.set_properties({"created": CREATED, "title": f"Ranking of {source.name}"})
    _cards(book, pool, cards)
    about = [
        *_about(pool, source, settings, origins),
        *_said(how_to_read(pool)),
        *_said(how_it_was_worked_out(pool, source, origins, version)),
    ]
    _texts(book, "About", about)
    if since is not None:
        _texts(book, "Since last time", _said(since_section(since, pool)))
    book.close()
    return held.getvalue()


def _cards(book: Writer, pool: PoolVerdict, cards: Sequence[CardVerdict]) -> None:
    rows = [_row(card, pool) for card in cards]
    headings = [
        *(column.heading for column in RANKING_COLUMNS.values()),
        *_printed(pool).values(),
    ]
    sheet = book.add_worksheet("Cards")
    bold = book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
    shown = {n: book.add_format({"num_format": f"0.{'0' * n}%"}) for n in (1, 2, 3)}
    for place, title in enumerate(headings):
        sheet.write_string(0, place, title, bold)
        texts = [row[place].value for row in rows if isinstance(row[place].value, str)]
        longest = max((len(str(text)) for text in texts), default=0)
        sheet.set_column(place, place, min(max(longest, 10) + 2, WIDEST))
    for number, row in enumerate(rows, start=1):
        for place, cell in enumerate(row):
            _put(sheet, number, place, cell.value, shown.get(cell.decimals or 0))
    sheet.freeze_panes(1, 1)
    sheet.autofilter(0, 0, max(len(rows), 1), len(headings) - 1)
    sheet.repeat_rows(0)
    sheet.set_landscape()


def _put(sheet: Writer, row: int, place: int, value: object, style: Any = None) -> None:
    if isinstance(value, str):
        sheet.write_string(row, place, value, style)
    elif isinstance(value, int | float):
        sheet.write_number(row, place, value, style)


def _printed(pool: PoolVerdict) -> dict[str, str]:
    """Head the columns of words, which tell some facts beside columns of numbers."""
    return {
        fact: f"{heading(fact, pool)}{', as printed' if fact in TWICE else ''}"
        for fact in records.SHOWN
    }


def _row(card: CardVerdict, pool: PoolVerdict) -> list[Cell]:
    printed = records.shown(card, pool)
    low, high = printed["range"].removesuffix("%").split(" to ")
    decimals = {
        "estimate": _decimals(printed["estimate"].removesuffix("%")),
        "low": _decimals(low),
        "high": _decimals(high),
        "win_rate": 1,
    }
    numbers = [
        Cell(_value(card, column), decimals.get(name))
        for name, column in RANKING_COLUMNS.items()
    ]
    return [*numbers, *(Cell(printed[name]) for name in _printed(pool))]


def _decimals(text: str) -> int:
    """Count the decimals that a printed number took to stand on its side of the line."""
    return len(text.partition(".")[2])


def _value(card: CardVerdict, column: Column) -> str | float | int | None:
    value: Any = getattr(card, column.name)
    return "; ".join(value) if isinstance(value, tuple) else value


def _about(
    pool: PoolVerdict, source: Source, settings: Settings, origins: Mapping[str, str]
) -> list[tuple[str, ...]]:
    reasons = sorted({reason for card in pool.cards for reason in card.reasons})
    return [
        (f"Ranking of {source.name}",),
        (counts_sentence(pool),),
        (expected_wrong(pool),),
        (),
        ("Setting", "Value", "From", "Meaning"),
        *(
            (name, _chosen(name, settings, pool), origins.get(name, "default"), meaning)
            for name, meaning in MEANINGS.items()
        ),
        (),
        ("Column", "Meaning"),
        *((column.heading, column.meaning) for column in RANKING_COLUMNS.values()),
        (),
        ("Reason", "Meaning"),
        *((reason, explain(reason)) for reason in reasons),
    ]


def _chosen(name: str, settings: Settings, pool: PoolVerdict) -> str:
    """Tell a setting; where nobody chose, what was taken."""
    value = getattr(settings, name)
    return str(getattr(pool, name) if value is None else value)


def _said(section: Section) -> list[tuple[str, ...]]:
    lines = [line for block in section.blocks for line in cells_of(block)]
    return [(), (section.title,), *lines]


def cells_of(block: Block) -> list[tuple[str, ...]]:
    """Lay out a block of a report in rows of texts; a picture has none."""
    match block:
        case Paragraph(text):
            return [(text,)]
        case Entries(items):
            return [(item.lead, item.text) for item in items]
        case Table(columns, rows):
            return [tuple(column.heading for column in columns), *rows]
        case _:
            return []


def _texts(book: Writer, name: str, rows: Sequence[tuple[str, ...]]) -> None:
    sheet = book.add_worksheet(name)
    sheet.set_column(0, 0, 24)
    sheet.set_column(1, 3, 24)
    for number, row in enumerate(rows):
        for place, text in enumerate(row):
            _put(sheet, number, place, text)
