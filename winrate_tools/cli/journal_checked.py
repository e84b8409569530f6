"""What a journal of changes and forecasts holds, in words and for programs."""

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

from winrate_tools import __version__
from winrate_tools.cli.options import Output
from winrate_tools.cli.output import say

if TYPE_CHECKING:
    from winrate_tools.journal import JournalRow
    from winrate_tools.report.document import Document


def check_journal(table: str, output: Output) -> None:
    """Say what a journal holds, and which command reads it.

    Raises
    ------
    TableError
        If a row of it makes no sense, with every place.
    """
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.ingest.tables.journal import read_journal

    path = Path(table)
    rows = read_journal(path)
    deliver_result(
        output,
        lambda: journal_document(path.name, rows),
        csv=lambda: journal_csv(rows),
        json=lambda: journal_json(path.name, rows),
    )
    say(f"next: winrate-tools update TABLE --matches FILE --journal {quote(table)}")


def journal_document(name: str, rows: "Sequence[JournalRow]") -> "Document":
    """Describe a journal: what it is, what it holds, what it is for."""
    from winrate_tools.report import words
    from winrate_tools.report.document import Document, Entries, Entry, Section

    forecast = sum(row.forecast is not None for row in rows)
    seen = sum(row.seen is not None for row in rows)
    days = f", {rows[0].date} to {rows[-1].date}" if rows else ""
    named = ", ".join(dict.fromkeys(row.archetype for row in rows)) or "none"
    entries = (
        Entry("Kind", "a journal of changes and forecasts; --kind overrules this."),
        Entry("Rows", f"{words.count(len(rows))}{days}."),
        Entry("Archetypes", f"{named}."),
        Entry("Forecasts", f"{words.count(forecast)}; {words.count(seen)} with what was seen."),
        Entry(
            "Use",
            "plan notes its forecasts here, and update holds them against the games that your "
            "table then plays; no command reads it as a table of games.",
        ),
    )
    return Document(f"Check of {name}", (Section("", (Entries(entries),)),))


def journal_csv(rows: "Sequence[JournalRow]") -> str:
    """Write a journal as it is kept; without rows its header stands alone."""
    from winrate_tools.journal import JOURNAL_COLUMNS
    from winrate_tools.report.cards.records import rows_csv

    return rows_csv(journal_rows(rows)) if rows else f"{','.join(JOURNAL_COLUMNS)}\n"


def journal_json(name: str, rows: "Sequence[JournalRow]") -> str:
    """Write a journal for programs."""
    from winrate_tools.report.cards.records import object_json

    return object_json(
        version=__version__,
        source={"name": name},
        kind="journal",
        rows=journal_rows(rows),
        problems=[],
    )


def journal_rows(rows: "Sequence[JournalRow]") -> list[dict[str, object]]:
    """Lay the rows out by column, days as 2026-01-31."""
    return [
        {
            **asdict(row),
            "date": row.date.isoformat(),
            "seen_on": row.seen_on and row.seen_on.isoformat(),
        }
        for row in rows
    ]
