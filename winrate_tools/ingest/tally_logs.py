"""Game logs counted for programs: as the command line counts them, in a program's words."""

import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from numbers import Real
from pathlib import Path
from reprlib import repr as in_short
from typing import Any

from winrate_tools.errors import SettingError
from winrate_tools.ingest.logs import logs
from winrate_tools.ingest.logs.games import Games
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.tables.advice import advising_programs
from winrate_tools.ingest.tables.reading import with_known_options


@with_known_options
@advising_programs
def tally_logs(
    paths: Sequence[str | os.PathLike[str]],
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    skill_cuts: Sequence[float] = (),
    skip_bad: bool = False,
    progress: Callable[[int], None] | None = None,
    cache: str | os.PathLike[str] | None = None,
    each: Callable[[Games], None] | None = None,
) -> logs.LogTally:
    r"""Count the games of any number of logs, each read once, in bounded memory.

    Parameters
    ----------
    paths : sequence of str or path
        CSV of any dialect (gzip too) or Parquet; ``"-"`` for standard input.
    columns : mapping of str to (str or int), optional
        Role to header or column number, where words do not tell; 0 leaves a role empty.
    skill_cuts : sequence of float, optional
        Where to cut a numeric skill into bands, ascending.
    skip_bad : bool, optional
        Leave rows out that make no sense, and say so.
    progress : callable, optional
        Told how many bytes (rows for Parquet) have been read of the file at hand.
    cache : str or path, optional
        Folder in which a Parquet copy of every sound log is kept, and looked for first.
    each : callable, optional
        Told every batch of games that is counted.

    Returns
    -------
    LogTally
        Its ``tally.card_table()`` is a `CardTable`, its ``tally.archetype_table()`` an
        `ArchetypeTable`.

    Raises
    ------
    MappingError
        If nobody can tell what a column holds.
    TableError
        If a file is no log or has problems: each with its place.
    SettingError
        If paths or cuts are no list, a numeric skill has no cuts, or cuts do not ascend.
    OutputError
        If no copy can be kept.
    TypeError
        If there is no such option.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> log = "game,won,cards\n1,yes,Fox|Moth\n2,no,Fox|Fox\n"
    >>> with TemporaryDirectory() as folder:
    ...     path = Path(folder, "log.csv")
    ...     _ = path.write_text(log)
    ...     table = tally_logs([path]).tally.card_table()
    >>> table.card, table.games.tolist(), table.wins.tolist()
    (('Fox', 'Moth'), [3.0, 1.0], [1.0, 1.0])
    """
    path_kinds = (str, os.PathLike)
    example = [os.fspath(paths) if isinstance(paths, path_kinds) else "games.csv"]
    names = [os.fspath(path) for path in _listed("paths", paths, path_kinds, example)]
    if not names:
        msg = "paths must name one log at least, got none"
        raise SettingError(msg)
    return logs.count_logs(
        names,
        columns=columns,
        skill_cuts=_listed("skill_cuts", skill_cuts, (Real,), [1200, 1500]),
        skip_bad=skip_bad,
        progress=progress,
        cache=None if cache is None else Path(cache),
        each=each,
    )


def _listed(name: str, given: Any, kinds: tuple[type, ...], example: list[Any]) -> list[Any]:
    """Refuse what is given alone, or beside anything of another kind."""
    is_alone = isinstance(given, str | bytes) or not isinstance(given, Iterable)
    values = [] if is_alone else [*given]
    if is_alone or not all(isinstance(value, kinds) for value in values):
        msg = f"{name} must be a list such as {example}, got {in_short(given)}"
        raise SettingError(msg)
    return values
