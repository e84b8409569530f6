"""Bytes that are no plain text: gzip is opened, everything else is refused by name."""

import gzip
import zlib
from io import BytesIO

from winrate_tools.errors import TableError

MOST_BYTES = 1 << 28
"""Largest file that is read, and largest text that a compressed file may open to."""
FREE_BYTES = 1 << 26
MOST_RATIO = 200
"""Past `FREE_BYTES`, a file that grows more than this many times is taken for a trap."""
CHUNK = 1 << 20

GZIP = b"\x1f\x8b"
PARQUET = b"PAR1"
SAVE_AS_CSV = "open it and save the sheet as CSV"
UNPACK = "unpack it first"

SIGNATURES = (
    (b"%PDF", "a PDF document", "copy the table into a spreadsheet and save it as CSV"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet or document", SAVE_AS_CSV),
    (b"{\\rtf", "a rich-text document", "save the table as CSV"),
    (b"SQLite format 3", "a database", "export the table as CSV"),
    (b"ARROW1", "an Arrow file", "write it as Parquet or CSV"),
    (b"\x89PNG", "a picture", "the numbers are needed as text, in a CSV file"),
    (b"\xff\xd8\xff", "a picture", "the numbers are needed as text, in a CSV file"),
    (b"BZh", "compressed with bzip2", UNPACK),
    (b"\xfd7zXZ", "compressed with xz", UNPACK),
    (b"(\xb5/\xfd", "compressed with zstd", UNPACK),
    (b"7z\xbc\xaf", "a 7z archive", UNPACK),
    (b"Rar!", "a rar archive", UNPACK),
)
PAGE_STARTS = (b"<!doctype", b"<html", b"<head", b"<body", b"<table", b"<meta", b"<script")


def open_container(data: bytes, name: str) -> bytes:
    """Open gzip and refuse whatever is no text.

    Returns
    -------
    bytes
        Text that still has to be decoded, or Parquet bytes.

    Raises
    ------
    TableError
        If the bytes are empty, a page, an archive, a spreadsheet or another known kind.

    Examples
    --------
    >>> open_container(b"<html><body>sign in</body></html>", "cards.csv")
    Traceback (most recent call last):
    winrate_tools.errors.TableError: cards.csv: this is a web page, not a table; ...
    """
    if data.startswith(GZIP):
        data = gunzip(data, name)
    if not data.strip(b"\0 \t\r\n\xef\xbb\xbf\xff\xfe"):
        _refuse(name, "the file is empty", "export the table again")
    if data.startswith(PARQUET):
        return data
    if data.startswith(b"PK\x03\x04"):
        _refuse_zip(data, name)
    for start, kind, fix in SIGNATURES:
        if data.startswith(start):
            _refuse(name, f"this is {kind}, not a table as text", fix)
    _refuse_markup(data[:2048].lstrip(b"\xef\xbb\xbf \t\r\n").lower(), name)
    return data


def gunzip(data: bytes, name: str) -> bytes:
    """Open a gzip file of one or more members, within bounds."""
    parts: list[bytes] = []
    size = 0
    with gzip.GzipFile(fileobj=BytesIO(data)) as file:
        while part := _inflate(file, name):
            size += len(part)
            _check_growth(size, len(data), name)
            parts.append(part)
    opened = b"".join(parts)
    if opened.startswith(GZIP):
        _refuse(name, "compressed twice", UNPACK)
    return opened


def _inflate(file: gzip.GzipFile, name: str) -> bytes:
    try:
        return file.read(CHUNK)
    except EOFError as error:
        msg = f"{name}: the compressed file ends too early; download or export it again"
        raise TableError(msg) from error
    except (OSError, zlib.error) as error:
        msg = f"{name}: the compressed file is damaged; download or export it again"
        raise TableError(msg) from error


def _check_growth(size: int, packed: int, name: str) -> None:
    if size > MOST_BYTES or (size > FREE_BYTES and size > MOST_RATIO * packed):
        _refuse(
            name,
            f"the compressed file opens to {size >> 20} MB or more, too much for a table",
            "unpack it and look at what it holds",
        )


def _refuse_zip(data: bytes, name: str) -> None:
    if b"xl/workbook" in data:
        _refuse(name, "this is a spreadsheet (xlsx), not text", SAVE_AS_CSV)
    if b"opendocument" in data[:200]:
        _refuse(name, "this is a spreadsheet (ods), not text", SAVE_AS_CSV)
    _refuse(name, "this is a zip archive, not a table as text", UNPACK)


def _refuse_markup(start: bytes, name: str) -> None:
    if start.startswith(PAGE_STARTS):
        fix = "the download may need a sign-in, or the export button instead of the page"
        _refuse(name, "this is a web page, not a table", fix)
    if start.startswith(b"<?xml"):
        _refuse(name, "this is XML, not a table as rows and cells", "export the table as CSV")
    if start.startswith((b"{", b"[{", b"[\n", b"[\r\n", b"[ {")):
        _refuse(name, "this is JSON, not a table as rows and cells", "export the table as CSV")


def _refuse(name: str, what: str, fix: str) -> None:
    msg = f"{name}: {what}; {fix}"
    raise TableError(msg)
