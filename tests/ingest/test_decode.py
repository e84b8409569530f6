"""Bytes to text, and bytes that are no text."""

import gzip

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest import containers
from winrate_tools.ingest.containers import open_container
from winrate_tools.ingest.decode import decode

TEXT = "Karte;Spiele\r\nKäfer „alt“;12\r\n"


@pytest.mark.parametrize(
    ("encoding", "words"),
    [
        ("utf-8", "UTF-8"),
        ("utf-8-sig", "UTF-8 with a byte order mark"),
        ("utf-16", "UTF-16"),
        ("utf-32", "UTF-32"),
    ],
)
def test_unicode_is_read_without_a_note(encoding: str, words: str):
    decoded = decode(TEXT.encode(encoding), "cards.csv")

    assert decoded.text == TEXT
    assert decoded.encoding == words
    assert decoded.notes == ()


def test_windows_1252_is_read_with_line_and_byte():
    decoded = decode(TEXT.encode("cp1252"), "cards.csv")

    assert decoded.text == TEXT
    assert decoded.notes == (
        "line 2, byte 2 (0xE4) is not UTF-8: the file was read as Windows-1252",
    )


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n"])
def test_lines_are_counted_whatever_ends_them(end: str):
    data = end.join(["a", "b", "xyä"]).encode("cp1252")

    assert decode(data, "cards.csv").notes[0].startswith("line 3, byte 3 ")


def test_a_broken_byte_in_a_marked_file_is_named():
    with pytest.raises(TableError, match=r"line 2, byte 1 \(0xFF\) breaks it"):
        decode(b"\xef\xbb\xbfa\n\xff", "cards.csv")


def test_plain_bytes_pass_the_door_unchanged():
    data = TEXT.encode()

    assert open_container(data, "cards.csv") == data
    assert open_container(gzip.compress(data), "cards.csv") == data


def test_a_small_file_that_opens_to_a_huge_one_is_refused(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(containers, "FREE_BYTES", 1 << 20)
    packed = gzip.compress(b"0" * (3 << 20))

    with pytest.raises(TableError, match="opens to 2 MB or more, too much for a table"):
        open_container(packed, "cards.csv")


def test_an_honest_large_file_is_opened_up_to_the_limit(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(containers, "FREE_BYTES", 100)
    data = bytes(range(1, 256)) * 8
    assert open_container(gzip.compress(b"a" + data), "cards.csv") == b"a" + data
    monkeypatch.setattr(containers, "MOST_BYTES", 1000)

    with pytest.raises(TableError, match="too much for a table"):
        open_container(gzip.compress(b"a" + data), "cards.csv")


def test_a_file_compressed_twice_is_refused():
    with pytest.raises(TableError, match="compressed twice; unpack it first"):
        open_container(gzip.compress(gzip.compress(b"a,b")), "cards.csv")


@pytest.mark.parametrize(("start", "kind", "fix"), containers.SIGNATURES)
def test_every_known_kind_is_called_by_its_name(start: bytes, kind: str, fix: str):
    with pytest.raises(TableError) as caught:
        open_container(start + b"\x01\x02", "cards.csv")

    assert str(caught.value) == f"cards.csv: this is {kind}, not a table as text; {fix}"


@pytest.mark.parametrize("start", ["{", '[{"a"', "<?xml version"])
def test_other_text_formats_are_refused(start: str):
    with pytest.raises(TableError, match="not a table as rows and cells"):
        open_container(start.encode(), "cards.csv")


def test_an_open_document_spreadsheet_is_told_from_a_zip_archive():
    data = b"PK\x03\x04" + b"mimetypeapplication/vnd.oasis.opendocument.spreadsheet"

    with pytest.raises(TableError, match=r"a spreadsheet \(ods\)"):
        open_container(data, "cards.csv")
