"""The command ``check``: how a table is understood, what is wrong with it, what it can say."""

from dataclasses import asdict
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Annotated, Any

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.failures import BAD_DATA, problem_texts
from winrate_tools.cli.loading import STDIN, demand_file, demand_output, mapped, reading_options
from winrate_tools.cli.misuse import one_of
from winrate_tools.cli.options import Configured, Output, Reading
from winrate_tools.cli.output import say
from winrate_tools.cli.signature import with_options
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from winrate_tools.ingest.checks.inspection import TableInspection
    from winrate_tools.ingest.roles.kinds import Kind
    from winrate_tools.report.document import Document, Entry

    Inspection = TableInspection[Any]

KINDS = ("cards", "archetypes", "pool", "candidates", "matches")
JUDGED = {"cards": "rank", "archetypes": "archetypes"}
"""Commands that take the table as it is."""
TableArgument = Annotated[
    str,
    typer.Argument(
        metavar="TABLE",
        help="CSV, TSV or Parquet file of cards, archetypes, a pool, candidates or matches; "
        "- for standard input.",
    ),
]
KindOption = Annotated[
    str | None,
    typer.Option(
        "--kind",
        parser=one_of(KINDS),
        metavar="|".join(KINDS),
        help="What the table lists [default: by its columns].",
    ),
]


@with_options
def check(
    table: TableArgument,
    output: Output,
    reading: Reading,
    configured: Configured,
    kind: KindOption = None,
) -> None:
    """Say what each column was taken for and why, what is wrong, and what the data can say.

    Example: winrate-tools check sample_data/cards.csv
    """
    demand_output(output, table, configured=configured)
    demand_file(table)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.ingest.tables.any_table import inspect_any
    from winrate_tools.report.cards import records

    columns = mapped(reading.columns or [])
    options = reading_options(reading, configured)
    taken, found = inspect_any(table, kind=kind, columns=columns, **options)
    deliver_result(
        output,
        check_document(found, taken),
        csv=lambda: records.rows_csv([asdict(one) for one in found.assignments]),
        json=lambda: check_json(found, taken),
    )
    if found.unclear is not None:
        raise found.unclear
    if found.problems:
        say(f"next: mend the {len(found.problems):,} above, or leave them out with --skip-bad")
        raise typer.Exit(BAD_DATA)
    if reading.remember:
        remember(table, found)
    if table != STDIN:
        say(f"next: {next_step(taken, table, reading, configured)}")


def remember(table: str, found: "Inspection") -> None:
    """Keep the columns' roles beside the table.

    Raises
    ------
    SettingError
        If the table is standard input, or the file that keeps them cannot be used.
    OutputError
        If that file cannot be written.
    """
    from winrate_tools.cli.configuration import shown_path
    from winrate_tools.ingest.roles.memory import remember_mapping

    if table == STDIN:
        msg = "--remember keeps columns beside a file, and standard input is none"
        raise SettingError(msg)
    path = remember_mapping(Path(table).parent, found.headers, found.choices)
    say(f"note: the columns' roles are kept in {shown_path(path)}")


def next_step(kind: "Kind", table: str, reading: Reading, configured: Configured) -> str:
    """Write the command that a table of a kind is for.

    Examples
    --------
    >>> from winrate_tools.ingest.roles.kinds import KINDS
    >>> next_step(KINDS["matches"], "home.csv", Reading(), Configured())
    'winrate-tools update TABLE --matches home.csv'
    """
    if kind.title in JUDGED:
        return tell_again(JUDGED[kind.title], table, reading, configured) or ""
    if kind.title == "pool":
        return f"{tell_again('packs', f'--pool={table}', reading, configured)} --seats 8"
    before, _, after = kind.use.rpartition("FILE")
    return f"winrate-tools {before}{quote(table)}{after}"


def check_document(found: "Inspection", kind: "Kind") -> "Document":
    """Describe how a table is understood.

    Parameters
    ----------
    found : TableInspection
        What the reader found.
    kind : Kind
        What the table was read as.

    Returns
    -------
    Document
        Reading, columns, problems, what the data can say.
    """
    from winrate_tools.report.document import Document, Entries, Entry, Section, Verbatim
    from winrate_tools.report.support.support import support

    sections = [
        Section("How it was read", (Entries(tuple(_how(found, kind))),)),
        Section("Columns", (Entries(tuple(_roles(found))),)),
    ]
    if found.problems:
        text = "\n\n".join(problem_texts(tuple(found.problems)))
        sections.append(Section("Problems", (Verbatim(text),)))
    if found.table is not None:
        said = Entries(support(found.table))
        sections.append(Section("What these data can say", (said,)))
    else:
        entry = Entry("Nothing yet", "the table cannot be used before the above is settled.")
        sections.append(Section("What these data can say", (Entries((entry,)),)))
    return Document(f"Check of {found.name}", tuple(sections))


def _how(found: "Inspection", kind: "Kind") -> "Iterator[Entry]":
    from winrate_tools.report.document import Entry

    yield Entry("Kind", f"read as {kind.called}; --kind overrules this.")
    yield Entry("File", f"{found.name}, SHA-256 {found.sha256}.")
    yield Entry("Text", f"{found.encoding}, cells parted by {_named(found.delimiter)}.")
    headers = "none" if found.header_line is None else f"on line {found.header_line}"
    yield Entry("Headers", f"{headers}; {found.rows:,} rows.")
    mark = {",": "a comma", ".": "a point"}.get(found.decimal or "", "not needed")
    yield Entry("Decimal mark", f"{mark}.")
    for note in found.notes:
        yield Entry("Note", note)


def _named(delimiter: str) -> str:
    return {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}.get(
        delimiter, repr(delimiter)
    )


def _roles(found: "Inspection") -> "Iterator[Entry]":
    from winrate_tools.report.document import Entry

    for one in found.assignments:
        samples = ", ".join(str(sample) for sample in one.samples)
        lead = one.role.replace("_", " ")
        yield Entry(lead, f"column {one.column}, {one.header!r} ({samples}): {one.why}.")
    if found.unused:
        yield Entry("not used", f"{', '.join(found.unused)}.")


def check_json(found: "Inspection", kind: "Kind") -> str:
    """Write how a table is understood for programs."""
    from winrate_tools.report.cards.records import object_json

    return object_json(
        version=__version__,
        source={"name": found.name, "sha256": found.sha256, "notes": list(found.notes)},
        kind=kind.title,
        encoding=found.encoding,
        delimiter=found.delimiter,
        header_line=found.header_line,
        rows=found.rows,
        decimal=found.decimal,
        assignments=[asdict(one) for one in found.assignments],
        unused=list(found.unused),
        problems=[asdict(problem) for problem in found.problems],
    )
