"""The command ``report``: the cut report, for people."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, ClassVar

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.files_beside import (
    demand_extras,
    picture_targets,
    workbook,
    write_all,
)
from winrate_tools.cli.judging import judged, resolved
from winrate_tools.cli.misuse import one_of
from winrate_tools.cli.options import (
    PAGES,
    PICTURES,
    Configured,
    Decks,
    Format,
    Judging,
    Output,
    Reading,
    TableArgument,
    XlsxOption,
    taking,
)
from winrate_tools.cli.output import STDOUT, is_plain_file, say
from winrate_tools.cli.signature import with_options
from winrate_tools.cli.targets import Target, asked, demand_ending

if TYPE_CHECKING:
    from winrate_tools.decide.cards.since import Since
    from winrate_tools.ranking import Ranking

FILE_ENDINGS = {Format.TABLE: "txt", Format.BRIEF: "txt"}
"""Endings of formats that are not called by theirs."""


@dataclass(frozen=True, slots=True)
class ReportOutput(Output):
    """Where a report goes and how it looks."""

    elsewhere: ClassVar[Mapping[str, str]] = {
        ".xlsx": "--xlsx",
        **dict.fromkeys(PICTURES, "--plot"),
    }

    format: Annotated[
        Format | None,
        typer.Option(
            parser=lambda text: Format(one_of(Format)(text)),
            metavar="|".join(Format),
            help="How to write the report: brief is ten lines for a chat, html a page "
            "[default: by the ending of -o, else md].",
        ),
    ] = None


@dataclass(frozen=True, slots=True)
class FilesBeside:
    """Files to write besides the report; with one of them none goes to the screen."""

    html: Annotated[
        str | None, taking("FILE", "Write the report as a page too, to move the line.")
    ] = None
    xlsx: XlsxOption = None
    plot: Annotated[
        str | None,
        taking("FILE", "Draw the estimates as .png, .svg or .pdf too (needs the extra plot)."),
    ] = None

    def targets(self) -> tuple[Target, ...]:
        """Return the files, each with its option.

        Raises
        ------
        OutputError
            If a name promises something else than is written to it.
        """
        found = asked(html=self.html, xlsx=self.xlsx, plot=self.plot)
        endings = {"--html": PAGES, "--xlsx": (".xlsx",), "--plot": PICTURES}
        for target in found:
            demand_ending(target, endings[target.option])
        return found


@dataclass(frozen=True, slots=True)
class Against:
    """What the report is compared with."""

    since: Annotated[
        str | None,
        taking("FILE", "Say what changed since an earlier ranking, as rank --json wrote it."),
    ] = None


@with_options
def report(
    table: TableArgument,
    judging: Judging,
    decks: Decks,
    output: ReportOutput,
    beside: FilesBeside,
    against: Against,
    reading: Reading,
    configured: Configured,
) -> None:
    """Write the cut report: what to cut and why, what cannot be said yet, how it was found.

    Example: winrate-tools report sample_data/cards.csv -o cuts.md
    """
    others = beside.targets()
    demand_extras(others)
    if output.chosen(Format.MD) is Format.MD and is_plain_file(output.output):
        others += picture_targets(output.output)
    compare = _comparison(against.since, table, judging, configured)
    ranking, origins = judged(
        table, judging, decks, output, reading, configured, others=others, earlier=against.since
    )
    since = compare(ranking)
    files = _files(beside, ranking, origins, since)
    is_only_beside = bool(files) and output.output == STDOUT and not _says_how(output)
    if not is_only_beside:
        _deliver(output, ranking, origins, since)
    write_all(files, force=output.force)
    if files or output.output != STDOUT:
        say("next: read it with the people who draft the pool")
    elif again := tell_again("report", table, judging, decks, against, reading, configured):
        style = output.chosen(Format.MD)
        said = " --format brief" if style is Format.BRIEF else ""
        name = f"cuts.{FILE_ENDINGS.get(style, style.value)}"
        say(f"next: keep it in a file: {again}{said} -o {name}")


def _says_how(output: Output) -> bool:
    return output.json or output.format is not None


def _comparison(
    path: str | None, table: str, judging: Judging, configured: Configured
) -> "Callable[[Ranking], Since | None]":
    """Read an earlier ranking, if one is named, before the table is; compare with it later."""
    if path is None:
        return lambda _: None
    from winrate_tools.cli.earlier import demand_same_question, demand_shared, earlier_ranking
    from winrate_tools.decide.cards.since import since

    earlier = earlier_ranking(path)
    demand_same_question(earlier, resolved(table, judging, configured).settings, path)

    def compare(ranking: "Ranking") -> "Since":
        found = since(earlier, ranking.verdict, ranking.settings)
        demand_shared(found.shared, path)
        return found

    return compare


def _files(
    beside: FilesBeside, ranking: "Ranking", origins: Mapping[str, str], since: "Since | None"
) -> dict[str, bytes]:
    """Make every file that is asked for besides the report, before any is written."""
    files: dict[str, bytes] = {}
    if beside.html:
        files[beside.html] = _page(ranking, origins, since).encode()
    if beside.xlsx:
        files[beside.xlsx] = workbook(ranking, ranking.verdict.cards, origins, since)
    if beside.plot:
        from winrate_tools.report.cards.plots import plot

        files[beside.plot] = plot(ranking.verdict, Path(beside.plot).suffix.lower())
    return files


def _page(ranking: "Ranking", origins: Mapping[str, str], since: "Since | None") -> str:
    from winrate_tools.report.page.page import render

    return render(
        ranking.verdict, ranking.source, origins=origins, version=__version__, since=since
    )


def _deliver(
    output: Output, ranking: "Ranking", origins: Mapping[str, str], since: "Since | None"
) -> None:
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.report.cards import brief, records, sections
    from winrate_tools.report.cards.since import since_record, with_since

    pool, source = ranking.verdict, ranking.source
    deliver_result(
        output,
        lambda: with_since(
            sections.cut_report(pool, source, origins=origins, version=__version__), since, pool
        ),
        csv=lambda: records.csv_text(pool.cards),
        json=lambda: records.json_text(
            pool,
            pool.cards,
            source,
            ranking.settings,
            origins=origins,
            version=__version__,
            since=None if since is None else since_record(since),
        ),
        default=Format.MD,
        others={
            Format.BRIEF: lambda: brief.brief(pool, source, version=__version__, since=since),
            Format.HTML: lambda: _page(ranking, origins, since),
        },
    )
    if since is not None and output.chosen(Format.MD) is Format.CSV:
        say("note: csv does not hold what changed; md, table, brief, html and json do")
