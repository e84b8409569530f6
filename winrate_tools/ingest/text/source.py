"""Bytes from wherever they are: a path, standard input, an open file, memory or a frame."""

import difflib
import sys
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO, NamedTuple, TypeGuard

from winrate_tools.errors import TableError
from winrate_tools.ingest.text.containers import MOST_BYTES
from winrate_tools.ingest.text.frames import Frame, frame_bytes

STDIN = "<stdin>"
FRAME = "<frame>"


class Load(NamedTuple):
    """The bytes of one table.

    Attributes
    ----------
    name : str
        File name without its folders, ``<stdin>``, ``<memory>`` or ``<frame>``.
    data : bytes
        The bytes as they are.
    folder : Path or None
        Where the file lies, None for anything that is no file.
    """

    name: str
    data: bytes
    folder: Path | None = None

    @property
    def sha256(self) -> str:
        """Hash of the bytes, in hexadecimal."""
        return sha256(self.data).hexdigest()


TableSource = str | Path | bytes | BinaryIO | Frame | Load


def load(source: TableSource, *, name: str | None = None) -> Load:
    """Fetch all bytes of a table.

    Parameters
    ----------
    source : str, Path, bytes, binary file, frame or Load
        A path, ``"-"`` for standard input, the bytes themselves, a file open for bytes, a
        frame of pandas, polars or Arrow, or what has been loaded already.
    name : str, optional
        What to call the table in messages.

    Returns
    -------
    Load
        Name, bytes and folder.

    Raises
    ------
    TableError
        If there is no such file, or it cannot be read.
    MissingExtraError
        If it is a frame, and the library that reads frames is not installed.

    Examples
    --------
    >>> load(b"card,games,wins").name
    '<memory>'
    """
    if isinstance(source, Load):
        return source
    if isinstance(source, bytes):
        return Load(name or "<memory>", source)
    if isinstance(source, str) and source == "-":
        return Load(name or STDIN, _standard_input())
    if isinstance(source, str | Path):
        path = Path(source)
        return Load(name or path.name, _read(path), path.parent)
    if _is_open(source):
        return Load(name or _stream_name(source), _stream_bytes(source))
    return Load(name or FRAME, frame_bytes(source, name or FRAME))


def _read(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return _whole(file, str(path))
    except FileNotFoundError as error:
        msg = f"{path}: no such file{_nearest(path)}"
        raise TableError(msg) from error
    except IsADirectoryError as error:
        msg = f"{path}: a file was wanted, this is a folder"
        raise TableError(msg) from error
    except (OSError, ValueError) as error:
        raise _unreadable(str(path), error) from error


def _standard_input() -> bytes:
    if sys.stdin is None:
        msg = f"{STDIN}: standard input is closed"
        raise TableError(msg)
    try:
        return _whole(sys.stdin.buffer, STDIN)
    except (OSError, ValueError) as error:
        raise _unreadable(STDIN, error) from error


def _whole(file: BinaryIO, name: str) -> bytes:
    data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        msg = f"{name}: more than {MOST_BYTES >> 20} MB, too much for a table"
        raise TableError(msg)
    return data


def _unreadable(name: str, error: Exception) -> TableError:
    reason = getattr(error, "strerror", None) or str(error)
    return TableError(f"{name}: cannot be read ({reason.lower()})")


def _nearest(path: Path) -> str:
    if not path.parent.is_dir():
        return f"; there is no folder {path.parent} either"
    try:
        names = [entry.name for entry in path.parent.iterdir() if entry.is_file()]
    except OSError:
        return ""
    close = difflib.get_close_matches(path.name, names, n=1, cutoff=0.6)
    return f"; did you mean {path.with_name(close[0])}?" if close else ""


def _is_open(source: object) -> TypeGuard[BinaryIO]:
    return callable(getattr(source, "read", None))


def _stream_name(stream: BinaryIO) -> str:
    name = getattr(stream, "name", None)
    return Path(name).name if isinstance(name, str) else "<memory>"


def _stream_bytes(stream: BinaryIO) -> bytes:
    try:
        data = stream.read()
    except (OSError, ValueError) as error:
        raise _unreadable(_stream_name(stream), error) from error
    if not isinstance(data, bytes):
        msg = "a file open for bytes was wanted, this one is open for text"
        raise TableError(msg)
    return data
