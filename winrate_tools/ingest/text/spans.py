"""Where a cell stands in its raw record, so that a caret can point at it."""

import re

LINE_END = re.compile(r"\r\n|\r|\n")


def cell_spans(record: str, delimiter: str) -> list[tuple[int, int]]:
    """Find each cell of a record, quotes included and outer blanks left out.

    Parameters
    ----------
    record : str
        The raw text of one row, which may run over several lines.
    delimiter : str
        One character.

    Returns
    -------
    list of (int, int)
        Start and end of each cell.

    Examples
    --------
    >>> cell_spans('"Vine, Ash", 12', ",")
    [(0, 11), (13, 15)]
    """
    spans: list[tuple[int, int]] = []
    start, began_quoted, inside = 0, False, False
    for found in re.finditer(f'["{re.escape(delimiter)}]', record):
        at = found.start()
        if record[at] == '"':
            if not began_quoted:
                began_quoted = inside = not record[start:at].strip(" ")
            else:
                inside = not inside
        elif not inside:
            spans.append(_trim(record, start, at))
            start, began_quoted = at + 1, False
    spans.append(_trim(record, start, len(record)))
    return spans


def physical_line(record: str, start: int, end: int) -> tuple[int, str, int, int]:
    r"""Narrow a span of a record to the physical line on which it begins.

    Returns
    -------
    tuple of (int, str, int, int)
        Line within the record from 0, its text, and the span inside that text.

    Examples
    --------
    >>> physical_line('"Ash\nVine",12', 11, 13)
    (1, 'Vine",12', 6, 8)
    """
    breaks = list(LINE_END.finditer(record))
    before = [found.end() for found in breaks if found.end() <= start]
    first = before[-1] if before else 0
    ends = [found.start() for found in breaks if found.start() >= first]
    last = ends[0] if ends else len(record)
    return len(before), record[first:last], start - first, max(min(end, last), start) - first


def _trim(record: str, start: int, end: int) -> tuple[int, int]:
    cell = record[start:end]
    lead = len(cell) - len(cell.lstrip())
    return (start, start) if lead == len(cell) else (start + lead, start + len(cell.rstrip()))
