"""A log read block by block into a tally: at full speed, and cell by cell where it is odd."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from winrate_tools.errors import TableError
from winrate_tools.ingest.checks.findings import Finding, in_order, problem_error
from winrate_tools.ingest.logs.careful_rows import placed, rows_of
from winrate_tools.ingest.logs.coded import CodedRows, Wanted
from winrate_tools.ingest.logs.folded_rows import unfolded
from winrate_tools.ingest.logs.log_layouts import Last, Reading, read_games
from winrate_tools.ingest.logs.log_roles import LogRoles
from winrate_tools.ingest.logs.log_rows import Trouble
from winrate_tools.ingest.logs.tally import Tally
from winrate_tools.ingest.text.grid import Grid

MOST_FINDINGS = 100
"""Problems after which reading stops."""
FEWEST_ROWS = 3
"""Rows of a game, on average, from which reading them as one pays."""
IDS = ("game", "player", "deck")
MEND = "mend the cell, or leave the line out with --skip-bad"
TWICE = (
    "leave out the file or the lines that repeat it; if a game has a row for each of its "
    "players, name their column with --map player=..."
)
APART = "sort the log by game, so that the rows of one game stand together; or " + TWICE

Careful = Callable[[], CodedRows]


@dataclass(slots=True)
class LogReader:
    """Reads one log.

    Parameters
    ----------
    head : Grid
        The first rows of the log.
    roles : LogRoles
        What its columns hold.
    tally : Tally
        Where its games are counted.
    skip_bad : bool, optional
        Whether rows that make no sense are left out.
    keep : callable, optional
        Told every block that is counted.

    Attributes
    ----------
    findings : list of Finding
        What is wrong, or was left out: the first of it.
    left_out : int
        Rows that were left out.
    """

    head: Grid
    roles: LogRoles
    tally: Tally
    skip_bad: bool = False
    keep: Callable[[CodedRows], None] | None = None
    findings: list[Finding] = field(default_factory=list)
    left_out: int = 0
    _last: Last | None = None

    @property
    def wanted(self) -> Wanted:
        """The columns to read; ids that are whole numbers in the head come as numbers."""
        roles, lists = self.roles, {}
        if roles.layout == "list":
            lists = {roles.where[r]: roles.mark for r in ("cards", "held") if r in roles.where}
        plain = [n for n in roles.where.values() if n not in lists]
        numbers = [roles.where[r] for r in IDS if self._is_whole(roles.where.get(r))]
        return Wanted(
            tuple(n for n in plain if n not in numbers),
            tuple(numbers),
            lists,
            (*roles.deck.values(), *roles.held.values()),
            self._varying(),
        )

    def _varying(self) -> tuple[int, ...]:
        """Return the columns of a long log that differ within a game, if they stand last."""
        where = self.roles.where
        varying = tuple(where[role] for role in ("card", "held") if role in where)
        shared = [number for role, number in where.items() if number not in varying]
        if self.roles.layout != "long" or min(varying) < max(shared):
            return ()
        before = [row.cells[: min(varying) - 1] for row in self.head.rows]
        runs = 1 + sum(one != other for one, other in pairwise(before))
        return varying if FEWEST_ROWS * runs <= len(before) else ()

    def _is_whole(self, number: int | None) -> bool:
        return number is not None and all(
            cell.isascii() and cell.isdigit() for cell in self.head.column(number)
        )

    def add(self, quick: CodedRows | None, careful: Careful) -> None:
        """Count a block.

        Parameters
        ----------
        quick : CodedRows or None
            The block as it was read at full speed, if it could be.
        careful : callable
            Reads it again, cell by cell.

        Raises
        ------
        TableError
            If there are too many problems to go on.
        """
        rows, reading = quick, quick and quick.rows and self._read(quick)
        if rows is None or not reading or reading.troubles:
            rows = careful()
            reading = self._sound(rows)
        if reading is None:
            return
        self._count(rows, reading, careful)
        if self.keep is not None:
            self.keep(unfolded(rows) if self.wanted.varying and rows.lists else rows)
        self._last = reading.last

    def _read(self, rows: CodedRows) -> Reading:
        return read_games(rows, self.roles, self.tally, self._last)

    def _sound(self, rows: CodedRows) -> Reading | None:
        """Read rows whose cells are known, without the bad ones if these may be left out."""
        assert rows.grid is not None
        self._note(rows.grid.findings, rows)
        while rows.rows:
            reading = self._read(rows)
            found = [self._found(rows.grid, trouble) for trouble in reading.troubles]
            self._note(found, rows)
            if not found or not self.skip_bad:
                return None if found else reading
            bad = {trouble.row for trouble in reading.troubles}
            kept = tuple(row for at, row in enumerate(rows.grid.rows) if at not in bad)
            rows = rows_of(replace(rows.grid, rows=kept), self.wanted, rows.line)
            assert rows.grid is not None
        return None

    def _count(self, rows: CodedRows, reading: Reading, careful: Careful) -> None:
        again = self.tally.seen_before(reading.games)
        if again.any():
            grid = careful().grid if rows.grid is None else rows.grid
            assert grid is not None
            places = reading.row[np.flatnonzero(again)[:MOST_FINDINGS]].tolist()
            self._note([self._twice(grid, row) for row in places], rows)
        fresh = reading.decided | ~reading.games.begins
        self.tally.undecided += int((~fresh & ~again).sum())
        self.tally.add(reading.games.where(reading.decided & ~again))

    def _found(self, grid: Grid, trouble: Trouble) -> Finding:
        return grid.finding(trouble.row, trouble.column, trouble.message, MEND)

    def _twice(self, grid: Grid, row: int) -> Finding:
        number = self.roles.where["game"]
        game = grid.rows[row].cells[number - 1].strip()
        fix = APART if self.roles.layout == "long" else TWICE
        return grid.finding(row, number, f"game {game!r} is here for the second time", fix)

    def _note(self, found: Sequence[Finding], rows: CodedRows) -> None:
        self.left_out += len({(one.line, one.row) for one in found})
        if len(self.findings) < MOST_FINDINGS or not self.skip_bad:
            self.findings += [placed(one, self.head, rows.line) for one in found]
        stops = len(self.findings) >= MOST_FINDINGS and not self.skip_bad
        if stops or any(one.fatal for one in found):
            raise findings_error(self.head.name, self.findings)


def findings_error(name: str, findings: Sequence[Finding]) -> TableError:
    """Gather what is wrong with a log into one error, in the order of its lines."""
    return problem_error(name, [found.problem for found in in_order(findings)])
