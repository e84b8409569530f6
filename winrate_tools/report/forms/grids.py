"""Tables as lines of text: side by side where they fit, else each row on a few lines."""

from winrate_tools.report.document import Table, TableColumn, Tone
from winrate_tools.report.forms.fitting import (
    GAP,
    SHORTEST_NAME,
    chosen_columns,
    column_widths,
    room_for_names,
    shortened,
)
from winrate_tools.report.forms.glyphs import sayable, visible, width
from winrate_tools.report.forms.screen import Screen

COLOURS: dict[Tone, str] = {"cut": "\x1b[33m", "keep": "\x1b[36m", "more games": "\x1b[2m"}
RESET = "\x1b[0m"


def table_lines(table: Table, screen: Screen) -> list[str]:
    """Write a table as lines; no cell but a name is ever shortened or broken.

    Returns
    -------
    list of str
        One line a row under a heading, or a few lines a row where the columns that are always
        shown do not fit side by side.
    """
    table = _said(table, screen)
    kept = chosen_columns(table, screen.width)
    if kept is None:
        return _stacked(table, screen, screen.width or 0)
    return _aligned(table, kept, screen)


def _said(table: Table, screen: Screen) -> Table:
    """Replace every cell by what the stream can carry."""
    columns = [
        sayable([visible(row[i]) for row in table.rows], screen.encoding)
        for i in range(len(table.columns))
    ]
    return Table(table.columns, tuple(zip(*columns, strict=True)), table.tones)


def _short(table: Table, room: int, screen: Screen) -> list[str]:
    [mark] = sayable(["…"], screen.encoding)
    return shortened([row[0] for row in table.rows], room, mark)


def _aligned(table: Table, kept: list[int], screen: Screen) -> list[str]:
    every = column_widths(table)
    widths = [every[i] for i in kept]
    widths[0] = room_for_names(widths, screen.width)
    columns = [table.columns[i] for i in kept]
    lines = [
        [
            _cell(column.heading, column, room)
            for column, room in zip(columns, widths, strict=True)
        ],
        ["-" * room for room in widths],
    ]
    names = _short(table, widths[0], screen)
    for number, (row, name) in enumerate(zip(table.rows, names, strict=True)):
        texts = [name, *(row[i] for i in kept[1:])]
        lines.append(
            [
                _painted(_cell(text, column, room), column, _tone(table, number), screen)
                for text, column, room in zip(texts, columns, widths, strict=True)
            ]
        )
    return [(" " * GAP).join(line).rstrip() for line in lines]


def _cell(text: str, column: TableColumn, room: int) -> str:
    space = " " * (room - width(text))
    return space + text if column.is_number else text + space


def _painted(cell: str, column: TableColumn, tone: Tone, screen: Screen) -> str:
    if not (screen.colour and column.is_toned and tone in COLOURS):
        return cell
    return f"{COLOURS[tone]}{cell}{RESET}"


def _tone(table: Table, row: int) -> Tone:
    return table.tones[row] if table.tones else ""


def _stacked(table: Table, screen: Screen, room: int) -> list[str]:
    """Give each row a line with its name and verdict, and its other facts on those below."""
    facts = [i for i, column in enumerate(table.columns) if i and column.spare <= 1]
    beside = [i for i in facts if table.columns[i].is_toned]
    for_names = room - sum(column_widths(table)[i] + GAP for i in beside)
    if for_names < SHORTEST_NAME:
        for_names, beside = room, []
    below = [i for i in facts if i not in beside]
    headings = tuple(column.heading for column in table.columns)
    names = [headings[0], *_short(table, for_names, screen)]
    lines: list[str] = []
    for number, (row, name) in enumerate(zip((headings, *table.rows), names, strict=True)):
        tone = _tone(table, number - 1) if number else ""
        first = [_cell(name, TableColumn(""), for_names)]
        first += [_painted(row[i], table.columns[i], tone, screen) for i in beside]
        lines += [(" " * GAP).join(first).rstrip(), *_packed([row[i] for i in below], room)]
        lines += [] if number else ["-" * room]
    return lines


def _packed(cells: list[str], room: int) -> list[str]:
    """Put as many cells on a line as fit, two columns in from the left."""
    lines: list[str] = []
    for cell in cells:
        gap = " " * GAP
        if lines and width(lines[-1] + gap + cell) <= room:
            lines[-1] += gap + cell
        else:
            lines.append(gap + cell)
    return lines
