"""Bytes that are no plain text: opened or refused by name."""

import gzip

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.text import containers
from winrate_tools.ingest.text.containers import gunzip, open_container

TEXT = "Karte;Spiele\r\nKäfer „alt“;12\r\n"


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


@pytest.mark.parametrize(
    "blank", [b"", b" \r\n", b"\xef\xbb\xbf", b"\xff\xfe\n\0", b"\xfe\xff\0\n"]
)
def test_blanks_and_marks_alone_are_an_empty_file(blank: bytes):
    with pytest.raises(TableError, match="the file is empty"):
        open_container(blank, "cards.csv")


def test_members_are_joined_even_where_many_are_empty():
    parts = [gzip.compress(b"")] * 20_000

    assert gunzip(b"".join([gzip.compress(b"a,"), *parts, gzip.compress(b"b")]), "x") == b"a,b"


@pytest.mark.parametrize("padding", [b"\0", b"\0" * 512])
def test_zeros_behind_a_compressed_file_are_padding(padding: bytes):
    assert gunzip(gzip.compress(b"a,b") + padding, "x") == b"a,b"


def test_rows_behind_a_compressed_file_are_not_dropped_in_silence():
    with pytest.raises(TableError, match="the compressed file is damaged"):
        gunzip(gzip.compress(b"Card,Games\nAsh,3\n") + b"Elk,5\n", "x")


@pytest.mark.parametrize("kept", [2, 10, 15, -8, -1])
def test_a_compressed_file_cut_anywhere_ends_too_early(kept: int):
    with pytest.raises(TableError, match="ends too early"):
        gunzip(gzip.compress(b"Card,Games\n")[:kept], "x")


def test_a_wrong_checksum_is_damage():
    packed = bytearray(gzip.compress(b"Card,Games\n"))
    packed[-6] ^= 1

    with pytest.raises(TableError, match="is damaged"):
        gunzip(bytes(packed), "x")
