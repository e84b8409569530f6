"""Game logs of any size to counts by card, archetype and skill band."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

from winrate_tools.errors import MappingError, SettingError
from winrate_tools.ingest.logs.careful_rows import careful_rows, rows_of
from winrate_tools.ingest.logs.coded import CodedRows, Wanted
from winrate_tools.ingest.logs.folded_rows import FoldedRows
from winrate_tools.ingest.logs.games import Games
from winrate_tools.ingest.logs.label_codes import CutBands, LabelCodes, plain_number
from winrate_tools.ingest.logs.log_cache import cached_path, kept_copy
from winrate_tools.ingest.logs.log_head import is_parquet
from winrate_tools.ingest.logs.log_parquet import (
    parquet_head,
    parquet_log,
    parquet_rows,
    placed_rows,
)
from winrate_tools.ingest.logs.log_reader import LogReader, findings_error
from winrate_tools.ingest.logs.log_roles import LogRoles, find_log_roles
from winrate_tools.ingest.logs.tally import Tally
from winrate_tools.ingest.logs.wide_rows import quick_wide_rows
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.text.blocks import blocks
from winrate_tools.ingest.text.grid import Grid, read_grid
from winrate_tools.ingest.text.text_stream import TextStream, text_stream

Progress = Callable[[int], None]
FOLDED = 1 << 21
"""Bytes read at a time of a log whose rows come in runs."""
MOST_LABELS = 12
"""Different numbers up to which skill is taken for labels."""


@dataclass(frozen=True, slots=True)
class LogTally:
    """Logs, counted.

    Attributes
    ----------
    tally : Tally
        The counts.
    roles : mapping of str to LogRoles
        How each file was read, by its path.
    notes : tuple of str
        Everything assumed or left out.
    """

    tally: Tally
    roles: Mapping[str, LogRoles]
    notes: tuple[str, ...] = ()


@dataclass(slots=True)
class _Job:
    """What the files of one tally share."""

    columns: Mapping[str, ColumnChoice]
    cuts: Sequence[float]
    skip_bad: bool
    progress: Progress
    tally: Tally
    cache: Path | None
    roles: dict[str, LogRoles] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


def count_logs(
    paths: Sequence[str],
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    skill_cuts: Sequence[float] = (),
    skip_bad: bool = False,
    progress: Progress | None = None,
    cache: Path | None = None,
    each: Callable[[Games], None] | None = None,
) -> LogTally:
    """Count the games of any number of logs, as `ingest.tally_logs` has it for programs.

    Raises
    ------
    MappingError, TableError, SettingError, OutputError
        As there, in the command line's words.
    """
    cuts = list(skill_cuts)
    if any(low >= high for low, high in pairwise(cuts)):
        msg = f"skill cuts must ascend, got {', '.join(f'{cut:g}' for cut in cuts)}"
        raise SettingError(msg)
    skill = CutBands(cuts) if cuts else LabelCodes("skill")
    job = _Job(columns or {}, cuts, skip_bad, progress or _silent, Tally(skill, each), cache)
    for path in paths:
        _add_file(path, job)
    if not job.tally.games:
        job.notes.append("no game was counted")
    if job.tally.undecided:
        job.notes.append(f"{job.tally.undecided:,} games that nobody won were left out")
    return LogTally(job.tally, job.roles, tuple(job.notes))


def _silent(_: int) -> None:
    """Say nothing."""


def _add_file(path: str, job: _Job) -> None:
    if is_parquet(path):
        _add_parquet(path, path, job)
        return
    folder = None if path == "-" else job.cache
    kept = None if folder is None else cached_path(path, job.columns, folder)
    if kept is not None and kept.exists():
        _add_parquet(path, str(kept), replace(job, columns={}))
        return
    with text_stream(path) as stream:
        _add_text(path, stream, kept, job)


def _add_text(path: str, stream: TextStream, kept: Path | None, job: _Job) -> None:
    head = read_grid(stream.text, stream.name)
    reader = _reader(path, head, (*stream.notes, *head.notes), job)
    with _copy(kept, reader):
        _add_blocks(stream, head, reader, job)
        _finish(reader, job)


@contextmanager
def _copy(target: Path | None, reader: LogReader) -> Iterator[None]:
    """Keep a copy of a log that proves sound."""
    if target is None:
        yield
        return
    with kept_copy(target, reader.roles) as copy:
        reader.keep = copy.add
        yield
        copy.is_whole &= not reader.findings


def _add_blocks(stream: TextStream, head: Grid, reader: LogReader, job: _Job) -> None:
    wanted, start = reader.wanted, head.first_line()
    before = "".join(head.text[: start - 1]).encode()
    wide = partial(quick_wide_rows, like=head, wanted=wanted)
    quick = wide if wanted.copies else FoldedRows(head, wanted).read
    done = len(before)
    size = FOLDED if wanted.varying else None
    rest = stream.head[done:]
    ends = bool(wanted.varying or wanted.copies)
    for block in blocks(
        stream.file, stream.name, read=rest, line=start, size=size, with_ends=ends
    ):
        reader.add(quick(block), partial(careful_rows, block, head, wanted))
        done += len(block.data)
        job.progress(done)


def _add_parquet(path: str, stored: str, job: _Job) -> None:
    with parquet_log(stored) as file:
        head = parquet_head(file, Path(path).name)
        reader = _reader(path, head, (), job)
        wanted = reader.wanted
        for rows, columns in parquet_rows(file, stored, wanted):
            reader.add(rows, partial(_written_rows, columns, head, rows, wanted))
            job.progress(rows.line + rows.rows)
        _finish(reader, job)


def _written_rows(
    columns: dict[int, Any], head: Grid, rows: CodedRows, wanted: Wanted
) -> CodedRows:
    return rows_of(placed_rows(columns, head, rows), wanted, rows.line)


def _reader(path: str, head: Grid, notes: Sequence[str], job: _Job) -> LogReader:
    if not head.rows:
        raise findings_error(head.name, head.findings)
    roles = find_log_roles(head, job.columns)
    _demand_bands(head, roles, job.cuts)
    for other, known in job.roles.items():
        if known.knows_hands != roles.knows_hands:
            have, lack = (other, path) if known.knows_hands else (path, other)
            msg = (
                f"{Path(have).name} says which cards were held and {Path(lack).name} does not; "
                "tally them apart, or count decks only with --map held=0"
            )
            raise MappingError(msg)
    job.roles[path] = roles
    job.notes += [f"{head.name}: {note}" for note in (*notes, *roles.notes)]
    return LogReader(head, roles, job.tally, skip_bad=job.skip_bad)


def _demand_bands(head: Grid, roles: LogRoles, cuts: Sequence[float]) -> None:
    """Refuse a numeric skill without cuts, and propose some."""
    if "skill" not in roles.where or cuts:
        return
    values = [plain_number(cell) for cell in head.column(roles.where["skill"]) if cell]
    known = sorted(value for value in values if value is not None)
    if len(set(known)) <= MOST_LABELS or len(known) < len(values):
        return
    thirds = f"{known[len(known) // 3]:.4g},{known[2 * len(known) // 3]:.4g}"
    msg = (
        f"{head.name}: skill holds numbers; say where one band of players ends and the next "
        f"begins, for example at the thirds of the first {len(known):,} rows: "
        f"--skill-cuts {thirds}"
    )
    raise SettingError(msg)


def _finish(reader: LogReader, job: _Job) -> None:
    """Refuse a log with problems, or say what was left out of it."""
    if reader.findings and not reader.skip_bad:
        raise findings_error(reader.head.name, reader.findings)
    if reader.findings:
        first = reader.findings[0].problem
        job.notes.append(
            f"{reader.head.name}: {reader.left_out:,} rows were left out, first "
            f"{first.place}: {first.message}"
        )
