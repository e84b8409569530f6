"""Files as streams of UTF-8."""

import gzip
import hashlib
import io
import sys

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.text import text_stream as module
from winrate_tools.ingest.text.text_stream import Hashed, raw_file, text_of, text_stream

TEXT = "card,games\n" + "".join(f"K\u00e4fer {n},{n}\n" for n in range(200))


def whole(path) -> bytes:
    with text_stream(str(path)) as stream:
        rest = b""
        while part := stream.file.read(97):
            rest += part
        return stream.head + rest


@pytest.mark.parametrize("head", [64, 1 << 18])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252"])
@pytest.mark.parametrize("packed", [False, True])
def test_every_encoding_streams_as_utf_8(head, encoding, packed, tmp_path, monkeypatch):
    monkeypatch.setattr(module, "HEAD", head)
    data = TEXT.encode(encoding)
    path = tmp_path / "cards.csv"
    path.write_bytes(gzip.compress(data) if packed else data)

    assert whole(path).decode() == TEXT
    with text_stream(str(path)) as stream:
        assert stream.text == stream.head.decode()[: len(stream.text)]
        assert stream.text.endswith("\n")
        assert stream.name == "cards.csv"


def test_an_encoding_that_is_assumed_is_said(tmp_path):
    path = tmp_path / "cards.csv"
    path.write_bytes(TEXT.encode("cp1252"))

    with text_stream(str(path)) as stream:
        assert stream.encoding == "Windows-1252"
        assert "is not UTF-8: the file was read as Windows-1252" in stream.notes[0]


def test_standard_input_streams(monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(TEXT.encode())))

    with text_stream("-") as stream:
        assert (stream.name, stream.head.decode()) == ("<stdin>", TEXT)


def test_a_file_that_cannot_be_read_is_refused(tmp_path):
    for path in (tmp_path / "missing.csv", tmp_path):
        with pytest.raises(TableError, match="cannot be read"), raw_file(str(path)):
            pass
    empty = tmp_path / "empty.csv"
    empty.write_bytes(b"")
    with pytest.raises(TableError, match="the file is empty"), text_stream(str(empty)):
        pass
    assert empty.exists()


@pytest.mark.parametrize("cut", [slice(None, -20), slice(None, 900)])
def test_a_damaged_gzip_file_is_told_while_it_is_read(cut, tmp_path, monkeypatch):
    monkeypatch.setattr(module, "HEAD", 64)
    path = tmp_path / "cards.csv.gz"
    path.write_bytes(gzip.compress(TEXT.encode(), 0)[cut])

    with pytest.raises(TableError, match="the compressed file is damaged"):
        whole(path)


def test_an_encoding_that_breaks_is_told(tmp_path, monkeypatch):
    monkeypatch.setattr(module, "HEAD", 64)
    path = tmp_path / "cards.csv"
    path.write_bytes(TEXT.encode("utf-16") + b"\x00\xd8\x00\x00")

    with pytest.raises(TableError, match="no text in the encoding that it begins in"):
        whole(path)


@pytest.mark.parametrize("packed", [False, True])
def test_bytes_are_hashed_as_they_are_read_to_the_last(packed, monkeypatch):
    monkeypatch.setattr(module, "HEAD", 64)
    data = gzip.compress(TEXT.encode()) if packed else TEXT.encode()
    file = Hashed(io.BytesIO(data))
    with text_of(file, "cards.csv") as stream:
        start = stream.head + stream.file.read(50)

    assert TEXT.encode().startswith(start)
    assert file.sha256() == file.sha256() == hashlib.sha256(data).hexdigest()


@pytest.mark.parametrize("good", [0, 1, 2])
def test_a_file_of_more_good_utf_8_letters_than_broken_ones_is_refused(
    good, tmp_path, monkeypatch
):
    monkeypatch.setattr(module, "HEAD", 64)
    path = tmp_path / "cards.csv"
    rows = "".join(f"Lamp {n},{n}\n" for n in range(20))
    path.write_bytes(b"card,games\nK\xe4fer,4\n" + (rows + good * "Mühle,9\n").encode())

    if good < 2:
        assert "Käfer" in whole(path).decode()
    else:
        with pytest.raises(TableError, match=r"UTF-8 but for line 2, byte 2 \(0xE4\); save"):
            whole(path)
