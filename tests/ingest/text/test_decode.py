"""Bytes to text."""

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.text.decode import decode

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
