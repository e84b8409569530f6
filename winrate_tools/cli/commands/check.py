"""The command ``check``: how a table is understood, what is wrong with it, what it can say."""

from dataclasses import asdict, replace
from pathlib import Path
from shlex import join, quote
from typing import TYPE_CHECKING, Annotated, Any

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.failures import BAD_DATA, problem_texts, without_skipping
from winrate_tools.cli.judging import demand_output
from winrate_tools.cli.loading import demand_file, mapped, reading_options, remember
from winrate_tools.cli.misuse import one_of
from winrate_tools.cli.options import Configured, Output, Reading
from winrate_tools.cli.output import STDIN, say
from winrate_tools.cli.signature import with_options

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from winrate_tools.errors import Problem
    from winrate_tools.ingest.checks.inspection import TableInspection
    from winrate_tools.ingest.roles.kinds import Kind
    from winrate_tools.ingest.roles.mapping import ColumnChoice
    from winrate_tools.report.document import Document, Entry

    Inspection = TableInspection[Any]
    Columns = Mapping[str, ColumnChoice]

KINDS = ("cards", "archetypes", "pool", "candidates", "matches")
LOG = "log"
SKIP_BAD = "--skip-bad"
WHOLE = {"candidates", "matches"}
"""Kinds of which no command leaves bad rows out."""
JUDGED = {"cards": "rank", "archetypes": "archetypes"}
"""Commands that take the table as it is."""
TableArgument = Annotated[
    str,
    typer.Argument(
        metavar="TABLE",
        help="CSV, TSV or Parquet file of cards, archetypes, a pool, candidates or matches, "
        "or a game log; - for standard input.",
    ),
]
KindOption = Annotated[
    str | None,
    typer.Option(
        "--kind",
        parser=one_of((*KINDS, LOG)),
        metavar="|".join((*KINDS, LOG)),
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
    from winrate_tools.report.cards import records

    columns = mapped(reading.columns or [])
    if kind == LOG or (kind is None and _speaks_of_games(table, columns)):
        check_log(table, columns, output)
        return
    if kind is None and not columns and _is_journal(table):
        from winrate_tools.cli.journal_checked import check_journal

        check_journal(table, output)
        return
    options = reading_options(reading, configured)
    taken, found = _understood(table, kind, columns, options)
    deliver_result(
        output,
        lambda: check_document(found, taken, is_told=kind is not None),
        csv=lambda: records.rows_csv([one._asdict() for one in found.assignments]),
        json=lambda: check_json(found, taken),
    )
    if found.unclear is not None:
        raise found.unclear
    if found.problems:
        say(f"next: {mend(found.problems)}")
        raise typer.Exit(BAD_DATA)
    if reading.remember:
        remember(table, found)
    if table != STDIN:
        say(f"next: {next_step(taken, table, reading, configured)}")


def mend(problems: "Sequence[Problem]") -> str:
    """Say what to do about problems; leaving rows out is offered only where that mends one.

    Examples
    --------
    >>> from winrate_tools.errors import Problem
    >>> mend([Problem("a.csv:2:1", "a card is listed twice", fix="delete one")])
    'mend the 1 above'
    """
    said = f"mend the {len(problems):,} above"
    if not any(SKIP_BAD in problem.fix for problem in problems):
        return said
    return f"{said}, or leave them out with {SKIP_BAD}"


def _understood(
    table: str, kind: str | None, columns: "Columns", options: "Mapping[str, Any]"
) -> "tuple[Kind, Inspection]":
    """Read a table as the command would that it is for."""
    from winrate_tools.ingest.tables.any_table import inspect_any

    taken, found = inspect_any(table, kind=kind, columns=columns, **options)
    if taken.title not in WHOLE:
        return taken, found
    if options["skip_bad"] and table != STDIN:
        sound = {**options, "skip_bad": False}
        found = inspect_any(table, kind=taken.title, columns=columns, **sound)[1]
    return taken, replace(found, problems=without_skipping(found.problems))


def _speaks_of_games(table: str, columns: "Columns") -> bool:
    from winrate_tools.ingest.logs.log_head import is_log

    return table != STDIN and is_log(table, columns)


def check_log(table: str, columns: "Columns", output: Output) -> None:
    """Say how a game log is understood, by its first rows."""
    from winrate_tools.cli.log_checked import log_columns, log_document, log_json
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.ingest.logs.log_head import inspect_log
    from winrate_tools.report.cards import records

    found = inspect_log(table, columns)
    deliver_result(
        output,
        lambda: log_document(found),
        csv=lambda: records.rows_csv(log_columns(found)),
        json=lambda: log_json(found),
    )
    if found.problems:
        say(f"next: mend the {len(found.problems):,} above, or tally with --skip-bad")
        raise typer.Exit(BAD_DATA)
    if table != STDIN:
        told = [word for role, at in columns.items() for word in ("--map", f"{role}={at}")]
        say(f"next: winrate-tools tally {join([table, *told])} -o cards.csv")


def _is_journal(table: str) -> bool:
    from winrate_tools.ingest.tables.journal import holds_journal

    return table != STDIN and holds_journal(Path(table))


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


def check_document(found: "Inspection", kind: "Kind", *, is_told: bool = False) -> "Document":
    """Describe how a table is understood: reading, columns, problems, what it can say."""
    from winrate_tools.report.document import Document, Entries, Section, Verbatim

    sections = [
        Section("How it was read", (Entries(tuple(_how(found, kind, is_told=is_told))),)),
        Section("Columns", (Entries(tuple(_roles(found))),)),
    ]
    if found.problems:
        text = "\n\n".join(problem_texts(tuple(found.problems)))
        sections.append(Section("Problems", (Verbatim(text),)))
    said = Entries(tuple(_says(found)))
    sections.append(Section("What these data can say", (said,)))
    return Document(f"Check of {found.name}", tuple(sections))


def _says(found: "Inspection") -> "Iterator[Entry]":
    """Say what the data can say, or what is to be settled before."""
    from winrate_tools.report.document import Entry
    from winrate_tools.report.support.support import support

    if found.table is not None:
        yield from support(found.table)
    elif found.unclear is not None:
        asked = str(found.unclear).partition("\n")[0].removeprefix(f"{found.name}: ")
        yield Entry("Nothing yet", f"{asked}; the error message asks for it.")
    else:
        yield Entry("Nothing yet", "the table cannot be used before the above is settled.")


def _how(found: "Inspection", kind: "Kind", *, is_told: bool) -> "Iterator[Entry]":
    from winrate_tools.report.document import Entry

    yield Entry("Kind", f"read as {kind.called}; {_overruled(found, kind, is_told=is_told)}.")
    yield Entry("File", f"{found.name}, SHA-256 {found.sha256}.")
    yield Entry("Text", f"{found.encoding}, cells parted by {_named(found.delimiter)}.")
    headers = "none" if found.header_line is None else f"on line {found.header_line}"
    yield Entry("Headers", f"{headers}; {found.rows:,} rows.")
    mark = {",": "a comma", ".": "a point"}.get(found.decimal or "", "not needed")
    if found.is_mixed:
        mark = (
            "a comma in some cells and a point in others; each column goes by most of its own"
        )
    yield Entry("Decimal mark", f"{mark}.")
    for note in found.notes:
        yield Entry("Note", note)


def _overruled(found: "Inspection", kind: "Kind", *, is_told: bool) -> str:
    if found.unclear is None or is_told:
        return "--kind overrules this"
    others = ", ".join(f"--kind {title}" for title in (*KINDS, LOG) if title != kind.title)
    return f"if it lists something else: {others}"


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
    for hint in found.hints:
        yield Entry("perhaps", hint)


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
        assignments=[one._asdict() for one in found.assignments],
        unused=list(found.unused),
        hints=list(found.hints),
        unclear=None if found.unclear is None else str(found.unclear),
        can_say=[entry._asdict() for entry in _says(found)],
        problems=[asdict(problem) for problem in found.problems],
    )
