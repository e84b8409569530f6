"""The sheet for the table: what is out, what is in, why, and what archetypes now hold."""

import re
from dataclasses import asdict

from winrate_tools.decide.plan.changes import CardChange, Changes, Support
from winrate_tools.report import words
from winrate_tools.report.cards.records import object_json, rows_csv
from winrate_tools.report.document import (
    Block,
    Document,
    Entries,
    Entry,
    Paragraph,
    Section,
    Table,
    TableColumn,
)
from winrate_tools.tables import Source

TITLES = {"out": "Out", "into": "In", "more": "More copies", "fewer": "Fewer copies"}
COLUMNS = ("card", "faction", "rarity", "role", "copies_before", "copies_after", "why")
SPARE = {"faction": 2, "rarity": 4, "role": 3}
"""Labels in the tables, and how soon each gives way on narrow screens."""
ROLES_SHOWN = 3
BELOW = re.compile(r"\b\d+ in 20 below (\d+\.\d+%)")
"""What a plan writes of a card's chance, see `pool_file.note`."""
ARCHETYPES = "What the archetypes hold now"
FEW_NAMED = (
    "In one of the pools fewer than half of the copies name an archetype, so what they hold "
    "cannot be compared. To have it compared, name the archetypes of every card in the column "
    "archetypes of both."
)


def changes_report(changes: Changes, old: str, new: str) -> Document:
    """Describe what differs between two pools."""
    opening = [Paragraph(counts_sentence(changes)), *map(_caution, changes.alike)]
    opening += _line(changes)
    parts = [Section("", tuple(opening))]
    labels = [name for name in SPARE if any(getattr(one.card, name) for one in _moved(changes))]
    for side, title in TITLES.items():
        found: tuple[CardChange, ...] = getattr(changes, side)
        if found:
            parts.append(Section(title, (_table(found, labels),)))
    if changes.supports:
        parts.append(Section(ARCHETYPES, tuple(_supports(changes))))
    elif changes.few_name_archetypes:
        parts.append(Section(ARCHETYPES, (Paragraph(FEW_NAMED),)))
    return Document(f"Changes from {old} to {new}", tuple(parts))


def counts_sentence(changes: Changes) -> str:
    """Say how much differs."""
    if changes.before == changes.after and not _moved(changes):
        return f"Nothing changes: {words.plural(changes.kept, 'card')} stay as they are."
    size = (
        f"{changes.after:,} cards, as before"
        if changes.after == changes.before
        else f"{changes.after:,} cards after {changes.before:,}"
    )
    return (
        f"{words.plural(len(changes.out), 'card')} out, {len(changes.into):,} in, "
        f"{len(changes.more):,} with more copies, {len(changes.fewer):,} with fewer; "
        f"{changes.kept:,} stay as they are. Copies counted, the pool has {size}."
    )


def _line(changes: Changes) -> list[Paragraph]:
    """Say once what the reasons of a plan compare cards with."""
    lines = {mark for one in _moved(changes) for mark in BELOW.findall(one.why)}
    return [
        Paragraph(
            f"{line} is the line: a card that truly wins less is weak. Reasons tell how likely "
            f'that is, as in "17 in 20 below {line}".'
        )
        for line in sorted(lines)
    ]


def _caution(pair: tuple[str, str]) -> Paragraph:
    return Paragraph(
        f"{pair[0]} is gone and {pair[1]} is new: if they are one card, mend the name; names "
        "must agree but for case and blanks."
    )


def _moved(changes: Changes) -> list[CardChange]:
    return [one for side in TITLES for one in getattr(changes, side)]


def _table(found: tuple[CardChange, ...], labels: list[str]) -> Table:
    has_why = any(one.why for one in found)
    columns = [
        TableColumn("Card"),
        TableColumn("Copies", is_number=True),
        *(TableColumn(name.capitalize(), spare=SPARE[name]) for name in labels),
        *([TableColumn("Why", spare=1)] if has_why else []),
    ]
    rows = (
        (
            one.card.card,
            f"{one.before} to {one.after}",
            *(getattr(one.card, name) or "" for name in labels),
            *([one.why] if has_why else []),
        )
        for one in found
    )
    return Table(tuple(columns), tuple(rows))


def _supports(changes: Changes) -> list[Block]:
    entries = tuple(Entry(one.archetype, _support(one)) for one in changes.supports)
    return [Entries(entries)]


def _support(one: Support) -> str:
    """Say what an archetype holds, and what is new in it."""
    was = f", {one.before:,} before" if one.before != one.after else ""
    roles = ", ".join(f"{count:,} {role}" for role, count in one.roles[:ROLES_SHOWN])
    parts = [f"{one.after:,} cards, copies counted{was}"]
    parts += [f"most of them: {roles}"] if roles else []
    parts += [f"new: {', '.join(one.new)}"] if one.new else []
    parts += [f"gone: {', '.join(one.gone)}"] if one.gone else []
    return f"{'; '.join(parts)}."


def changes_csv(changes: Changes) -> str:
    """Write the changed cards as CSV: out, in, more copies, fewer copies.

    Returns
    -------
    str
        CSV with a header line; without changes it stands alone.
    """
    return rows_csv(change_rows(changes), COLUMNS)


def change_rows(changes: Changes) -> list[dict[str, object]]:
    """Lay out the changed cards by column, `COLUMNS`."""
    return [_row(one) for one in _moved(changes)]


def _row(one: CardChange) -> dict[str, object]:
    labels = {name: getattr(one.card, name) for name in ("card", "faction", "rarity", "role")}
    return {**labels, "copies_before": one.before, "copies_after": one.after, "why": one.why}


def changes_json(changes: Changes, old: Source, new: Source, *, version: str) -> str:
    """Write what differs as JSON.

    Returns
    -------
    str
        One object: ``schema_version``, ``version``, ``sources``, sizes ``before`` and
        ``after``, ``kept``, ``out``, ``into``, ``more``, ``fewer``, ``supports``,
        ``alike``.
    """
    sides = {side: [_row(one) for one in getattr(changes, side)] for side in TITLES}
    return object_json(
        version=version,
        sources=[asdict(source) for source in (old, new)],
        before=changes.before,
        after=changes.after,
        kept=changes.kept,
        supports=[asdict(one) for one in changes.supports],
        alike=changes.alike,
        **sides,
    )
