"""The command ``check``: how a table is understood, what is wrong with it, what it can say."""

from dataclasses import asdict
from typing import TYPE_CHECKING

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.failures import BAD_DATA, problem_texts
from winrate_tools.cli.loading import demand_output, inspected, mapped
from winrate_tools.cli.options import Configured, Output, Reading, TableArgument
from winrate_tools.cli.output import say
from winrate_tools.cli.signature import with_options

if TYPE_CHECKING:
    from collections.abc import Iterator

    from winrate_tools.ingest.read import Inspection
    from winrate_tools.report.document import Document, Entry


@with_options
def check(
    table: TableArgument, output: Output, reading: Reading, configured: Configured
) -> None:
    """Say what each column was taken for and why, what is wrong, and what the data can say.

    Example: winrate-tools check sample_data/cards.csv
    """
    demand_output(output, table, configured=configured)
    found = inspected(table, mapped(reading.columns or []), reading, configured)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.report import records

    deliver_result(
        output,
        check_document(found),
        csv=lambda: records.rows_csv([asdict(one) for one in found.assignments]),
        json=lambda: check_json(found),
    )
    if found.unclear is not None:
        raise found.unclear
    if found.problems:
        say(f"next: mend the {len(found.problems):,} above, or leave them out with --skip-bad")
        raise typer.Exit(BAD_DATA)
    if again := tell_again("rank", table, reading, configured):
        say(f"next: {again}")


def check_document(found: "Inspection") -> "Document":
    """Describe how a table is understood.

    Parameters
    ----------
    found : Inspection
        What the reader found.

    Returns
    -------
    Document
        Reading, columns, problems, what the data can say.
    """
    from winrate_tools.report.document import Document, Entries, Entry, Section, Verbatim
    from winrate_tools.report.support import support

    sections = [
        Section("How it was read", (Entries(tuple(_how(found))),)),
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


def _how(found: "Inspection") -> "Iterator[Entry]":
    from winrate_tools.report.document import Entry

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


def check_json(found: "Inspection") -> str:
    """Write how a table is understood for programs."""
    from winrate_tools.report.records import object_json

    return object_json(
        version=__version__,
        source={"name": found.name, "sha256": found.sha256, "notes": list(found.notes)},
        encoding=found.encoding,
        delimiter=found.delimiter,
        header_line=found.header_line,
        rows=found.rows,
        decimal=found.decimal,
        assignments=[asdict(one) for one in found.assignments],
        unused=list(found.unused),
        problems=[asdict(problem) for problem in found.problems],
    )
