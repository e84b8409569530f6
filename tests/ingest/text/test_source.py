"""Bytes from wherever they are."""

import io
import os
import sys
import threading
from hashlib import sha256
from pathlib import Path
from types import SimpleNamespace

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.tables.cards import read_cards
from winrate_tools.ingest.text import source as module
from winrate_tools.ingest.text.source import load

BRIEF = b"Card,Games,Wins\nAsh Vine,12,7\nTin Moth,9,4\n"


class Broken(io.BytesIO):
    """A file that fails while it is read."""

    def read(self, size: int | None = -1) -> bytes:
        raise OSError(5, "Input/output error")


def test_every_kind_of_source_gives_the_same_table(tmp_path: Path, monkeypatch):
    path = tmp_path / "cards.csv"
    path.write_bytes(BRIEF)
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(BRIEF)))
    with path.open("rb") as file:
        sources = [path, str(path), BRIEF, io.BytesIO(BRIEF), file, "-"]
        tables = [read_cards(source) for source in sources]

    assert [table.card for table in tables] == [("Ash Vine", "Tin Moth")] * 6
    assert [table.source.name for table in tables] == [
        "cards.csv",
        "cards.csv",
        "<memory>",
        "<memory>",
        "cards.csv",
        "<stdin>",
    ]
    assert {table.source.sha256 for table in tables} == {sha256(BRIEF).hexdigest()}


def test_a_missing_file_is_answered_with_the_nearest_name(tmp_path: Path):
    (tmp_path / "cards.csv").write_bytes(BRIEF)

    with pytest.raises(
        TableError, match=r"crads\.csv: no such file; did you mean .*cards\.csv"
    ):
        read_cards(tmp_path / "crads.csv")
    with pytest.raises(TableError, match=r"no such file$"):
        read_cards(tmp_path / "zzz")
    with pytest.raises(TableError, match="there is no folder"):
        read_cards(tmp_path / "gone" / "cards.csv")
    with pytest.raises(TableError, match="this is a folder"):
        read_cards(tmp_path)
    with pytest.raises(TableError, match="cannot be read"):
        read_cards("a\0b")


def test_a_file_open_for_text_is_refused():
    with pytest.raises(TableError, match="open for bytes was wanted"):
        read_cards(io.StringIO("Card"))  # type: ignore[arg-type]


def test_a_name_may_be_given_and_a_folder_is_known_of_files_only(tmp_path: Path):
    path = tmp_path / "cards.csv"
    path.write_bytes(BRIEF)

    assert (load(path, name="x").name, load(path).folder) == ("x", tmp_path)
    assert (load(BRIEF).name, load(BRIEF).folder) == ("<memory>", None)
    assert load(io.BytesIO(BRIEF)).name == "<memory>"


def test_a_pipe_is_read_to_its_end(tmp_path: Path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    writer = threading.Thread(target=pipe.write_bytes, args=(BRIEF,))
    writer.start()
    loaded = load(pipe)
    writer.join()

    assert loaded.data == BRIEF


@pytest.mark.parametrize("kind", ["file", "stdin"])
def test_more_bytes_than_any_table_has_are_refused(kind: str, tmp_path: Path, monkeypatch):
    (tmp_path / "cards.csv").write_bytes(BRIEF)
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(BRIEF)))
    monkeypatch.setattr(module, "MOST_BYTES", len(BRIEF) - 1)

    with pytest.raises(TableError, match="too much for a table"):
        load("-" if kind == "stdin" else tmp_path / "cards.csv")


def test_as_many_bytes_as_allowed_are_read(tmp_path: Path, monkeypatch):
    (tmp_path / "cards.csv").write_bytes(BRIEF)
    monkeypatch.setattr(module, "MOST_BYTES", len(BRIEF))

    assert load(tmp_path / "cards.csv").data == BRIEF


def test_a_standard_input_that_fails_or_is_closed_is_told(monkeypatch):
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=Broken()))
    with pytest.raises(TableError, match=r"<stdin>: cannot be read \(input/output error\)"):
        load("-")
    monkeypatch.setattr(sys, "stdin", None)

    with pytest.raises(TableError, match="standard input is closed"):
        load("-")


def test_an_open_file_that_fails_is_told():
    closed = io.BytesIO(BRIEF)
    closed.close()

    with pytest.raises(TableError, match=r"cannot be read \(input/output error\)"):
        load(Broken())
    with pytest.raises(TableError, match="cannot be read"):
        load(closed)


def test_a_folder_that_cannot_be_listed_gives_no_suggestion(tmp_path: Path, monkeypatch):
    def refuse(self: Path) -> None:
        raise PermissionError

    monkeypatch.setattr(Path, "iterdir", refuse)

    with pytest.raises(TableError, match=r"no such file$"):
        load(tmp_path / "cards.csv")


def test_what_has_been_loaded_is_not_loaded_again():
    loaded = load(BRIEF, name="mine.csv")

    assert load(loaded) is loaded
    assert read_cards(loaded).source.name == "mine.csv"
