"""All files that one run is to write: each possible, none an input, no two the same."""

import os
from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations
from pathlib import Path
from typing import NamedTuple

from winrate_tools.cli.output import STDOUT, demand_apart, demand_target
from winrate_tools.errors import OutputError
from winrate_tools.files import is_same_file


class Target(NamedTuple):
    """A file to write, and the option that asks for it."""

    option: str
    path: str


def asked(**options: str | None) -> tuple[Target, ...]:
    """List the files that options ask for, besides the result itself.

    Raises
    ------
    OutputError
        If one of them is asked for on the screen.

    Examples
    --------
    >>> asked(html="cuts.html", xlsx=None)
    (Target(option='--html', path='cuts.html'),)
    """
    found = tuple(Target(f"--{name}", path) for name, path in options.items() if path)
    for option, path in found:
        if path == STDOUT:
            msg = f"{option} must name a file, got {path}"
            raise OutputError(msg)
    return found


def demand_ending(target: Target, endings: Sequence[str]) -> None:
    """Refuse a file whose name promises something else than is written to it.

    Raises
    ------
    OutputError
        If it ends in none of the endings.
    """
    ending = Path(target.path).suffix.lower()
    if ending not in endings:
        *others, last = endings
        wanted = f"{', '.join(others)} or {last}" if others else last
        msg = f"{target.option} must end in {wanted}, got {ending or target.path}"
        raise OutputError(msg)


def demand_targets(
    targets: Sequence[Target], read: Mapping[str, Iterable[str | Path | None]], *, force: bool
) -> None:
    """Refuse what cannot be written, before any work is done.

    Parameters
    ----------
    targets : sequence of Target
        Files to write.
    read : mapping of str to iterable of (path or None)
        What the files that are read hold, to their paths.
    force : bool
        Whether files that exist may go.

    Raises
    ------
    OutputError
        If one is a file that is read, exists and may not go, or has no folder, or if two are
        the same file.
    """
    for option, path in targets:
        for what, paths in read.items():
            demand_apart(path, what, filter(None, paths), option=option)
    for one, other in combinations(targets, 2):
        if one.path != STDOUT and _are_one(Path(one.path), Path(other.path)):
            msg = f"{one.option} and {other.option} name one file, {other.path}; name two"
            raise OutputError(msg)
    for _, path in targets:
        demand_target(path, force=force)


def _are_one(path: Path, other: Path) -> bool:
    return os.path.realpath(path) == os.path.realpath(other) or is_same_file(path, other)
