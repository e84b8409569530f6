"""Two files of one command that stand in each other's place."""

from collections.abc import Iterator
from contextlib import contextmanager
from itertools import combinations
from pathlib import Path
from typing import NamedTuple

from winrate_tools.errors import MappingError, SettingError, TableError


class Place(NamedTuple):
    """Where a command takes a file, the file, and the kind of table that belongs there."""

    name: str
    file: str | None
    kind: str


@contextmanager
def files_in_place(*places: Place) -> Iterator[None]:
    """Say which two files are swapped, where one cannot be read as what it should be.

    Raises
    ------
    SettingError
        If two files are each what the other should be.
    MappingError
        The one that was raised inside, if none are.
    """
    try:
        yield
    except MappingError as error:
        for one, other in combinations(places, 2):
            if _found(one) == other.kind and _found(other) == one.kind:
                raise SettingError(_swapped(one, other)) from error
        raise


def _found(place: Place) -> str | None:
    """Tell the kind that a file's headers say fully, if another one belongs in its place."""
    from winrate_tools.ingest.checks.inspection import open_grid
    from winrate_tools.ingest.roles.kinds import KINDS
    from winrate_tools.ingest.roles.recognition import other_kind
    from winrate_tools.ingest.text.source import load

    if place.file is None or not Path(place.file).is_file():
        return None
    try:
        headers = open_grid(load(place.file))[0].headers
    except TableError:
        return None
    other = other_kind(headers, KINDS[place.kind])
    return None if other is None else other.title


def _swapped(one: Place, other: Place) -> str:
    from winrate_tools.ingest.roles.kinds import KINDS

    return (
        f"{one.name} and {other.name} are swapped: {one.file} is {KINDS[other.kind].called}, "
        f"and {other.file} is {KINDS[one.kind].called}"
    )
