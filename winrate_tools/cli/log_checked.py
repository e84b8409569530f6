"""How a game log is understood, in words and for programs."""

from dataclasses import asdict
from typing import TYPE_CHECKING

from winrate_tools import __version__
from winrate_tools.cli.failures import problem_texts

if TYPE_CHECKING:
    from winrate_tools.ingest.logs.log_head import LogInspection
    from winrate_tools.report.document import Document

LAYOUTS = {
    "long": "a row for each card of a game",
    "list": "a row for each game, its cards in one list",
    "wide": "a row for each game, a column for each card",
}
SAMPLES = 3


def log_document(found: "LogInspection") -> "Document":
    """Describe how a log is understood: reading, columns, problems."""
    from winrate_tools.report.document import Document, Entries, Entry, Section, Verbatim

    how = [
        Entry("Kind", "read as a game log; --kind overrules this."),
        Entry("Layout", f"{LAYOUTS[found.roles.layout]}."),
        Entry("Rows", f"the first {len(found.head.rows):,} were looked at."),
        *(Entry("Note", note) for note in (*found.head.notes, *found.roles.notes)),
    ]
    columns = [
        Entry(
            str(one["role"]), f"column {one['column']}, {one['header']!r} ({one['samples']})."
        )
        for one in log_columns(found)
    ]
    sections = [
        Section("How it was read", (Entries(tuple(how)),)),
        Section("Columns", (Entries(tuple(columns)),)),
    ]
    if found.problems:
        text = "\n\n".join(problem_texts(found.problems))
        sections.append(Section("Problems", (Verbatim(text),)))
    return Document(f"Check of {found.head.name}", tuple(sections))


def log_columns(found: "LogInspection") -> list[dict[str, object]]:
    """List which column holds what, with its first cells; columns of cards are not listed."""
    return [
        {
            "role": role,
            "column": number,
            "header": found.head.headers[number - 1],
            "samples": ", ".join(dict.fromkeys(found.head.column(number)[:SAMPLES])),
        }
        for role, number in sorted(found.roles.where.items(), key=lambda item: item[1])
    ]


def log_json(found: "LogInspection") -> str:
    """Write how a log is understood for programs."""
    from winrate_tools.report.cards.records import object_json

    return object_json(
        version=__version__,
        source={"name": found.head.name, "notes": [*found.head.notes, *found.roles.notes]},
        kind="log",
        layout=found.roles.layout,
        card_columns=len(found.roles.deck),
        assignments=log_columns(found),
        problems=[asdict(problem) for problem in found.problems],
    )
