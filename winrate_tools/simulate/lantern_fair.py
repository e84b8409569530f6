"""Lantern Fair, the demo: writes the files of an invented game whose truth is known."""

from pathlib import Path

from winrate_tools.errors import OutputError
from winrate_tools.files import write_whole
from winrate_tools.simulate.lantern_files import demo_files
from winrate_tools.simulate.lantern_world import lantern_fair


def write_demo(folder: Path, *, force: bool = False) -> list[Path]:
    """Write the demo's files, the same to the byte at every call.

    A file that is there already and differs stops everything before anything is written; each
    file appears whole or not at all.

    Parameters
    ----------
    folder : Path
        Where to; made if missing.
    force : bool, optional
        Whether to write over files that differ.

    Returns
    -------
    list of Path
        The demo's files, written or found as they should be.

    Raises
    ------
    OutputError
        If a file differs and `force` is not given, or the folder cannot be written to.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     [path.name for path in write_demo(Path(folder))][:3]
    ['README.md', 'cards.csv', 'cards_by_archetype.csv']
    """
    files = {folder / name: content for name, content in demo_files(lantern_fair()).items()}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        stale = [path for path, content in files.items() if _differs(path, content)]
        _refuse_to_overwrite([] if force else stale)
        for path in stale:
            write_whole(path, files[path])
    except OSError as error:
        msg = f"cannot write the demo to {folder}: {error.strerror or error}"
        raise OutputError(msg) from error
    return list(files)


def _differs(path: Path, content: bytes) -> bool:
    return not path.exists() or path.read_bytes() != content


def _refuse_to_overwrite(stale: list[Path]) -> None:
    for path in stale:
        if path.exists():
            msg = f"{path} is there already and differs; --force writes over it"
            raise OutputError(msg)
