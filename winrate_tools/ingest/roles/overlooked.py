"""Unused columns that may well hold what no column was found for."""

from collections.abc import Collection, Iterator, Mapping

from winrate_tools.ingest.cells.choices import YES_NO
from winrate_tools.ingest.roles.asking import paste_line
from winrate_tools.ingest.text.sheet import Sheet

YES_OR_NO = frozenset({"protected", "first_seat"})
"""Roles whose cells say yes or no."""
YES_NO_WORDS = frozenset(word for words in YES_NO for word in words.split(", "))
MOST_LABELS = 0.5
"""Share of the rows that a column of labels may have different labels."""


def overlooked(sheet: Sheet, where: Mapping[str, int]) -> Iterator[str]:
    """Say which labels no column was found for, and which unused columns may be meant.

    Parameters
    ----------
    sheet : Sheet
        The file.
    where : mapping of str to int
        Roles that are settled, role to column number.

    Yields
    ------
    str
        At most one sentence, which ends in options to paste; none where every label has its
        column, or no unused column holds labels.
    """
    kind = sheet.kind
    wanted = [*kind.attributes, *(role for role in kind.roles if role in YES_OR_NO)]
    missing = [role for role in wanted if role not in {*where, "slot"}]
    columns = {n: _labels(sheet, n) for n in sheet.numbers if n not in where.values()}
    columns = {
        n: found
        for n, found in columns.items()
        if 1 < len(found) <= MOST_LABELS * len(sheet.grid.rows)
    }
    meant = dict(_meant(columns, missing))
    if not meant:
        return
    yield (
        f"no column was found for {', '.join(missing)}; unused: "
        f"{', '.join(map(sheet.grid.label, columns))}. If one of them is meant, say so, for "
        f"example: {paste_line(sheet, meant)}"
    )


def _labels(sheet: Sheet, number: int) -> frozenset[str]:
    if sheet.holds_numbers(number):
        return frozenset()
    return frozenset(cell.casefold() for cell in sheet.grid.column(number) if cell)


def _meant(
    columns: Mapping[int, Collection[str]], missing: Collection[str]
) -> Iterator[tuple[str, int]]:
    """Guess a column of yes and no to be what is asked so, and the first of the others."""
    yes_no = [n for n, labels in columns.items() if YES_NO_WORDS.issuperset(labels)]
    others = [n for n in columns if n not in yes_no]
    asked = [role for role in missing if role in YES_OR_NO]
    labels = [role for role in missing if role not in YES_OR_NO]
    if others and labels:
        yield labels[0], others[0]
    if yes_no and asked:
        yield asked[0], yes_no[0]
