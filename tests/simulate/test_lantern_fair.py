import hashlib
from pathlib import Path

import pytest

from winrate_tools.errors import OutputError
from winrate_tools.simulate.lantern_fair import write_demo
from winrate_tools.simulate.lantern_files import demo_files
from winrate_tools.simulate.lantern_world import lantern_fair


def test_the_files_on_disk_are_the_demos_to_the_byte(tmp_path):
    paths = write_demo(tmp_path)

    assert {path.name: path.read_bytes() for path in paths} == demo_files(lantern_fair())
    assert sorted(tmp_path.iterdir()) == sorted(paths)


def test_a_fair_held_anew_writes_the_same_bytes(tmp_path):
    write_demo(tmp_path / "first")
    lantern_fair.cache_clear()
    paths = write_demo(tmp_path / "second")

    hashes = [hashlib.sha256(path.read_bytes()).hexdigest() for path in paths]
    assert hashes == [
        hashlib.sha256((tmp_path / "first" / path.name).read_bytes()).hexdigest()
        for path in paths
    ]


def test_a_missing_folder_is_made(tmp_path):
    paths = write_demo(tmp_path / "a" / "b")

    assert all(path.exists() for path in paths)


def test_files_that_are_right_already_are_left_alone(tmp_path):
    paths = write_demo(tmp_path)
    before = [path.stat().st_mtime_ns for path in paths]
    write_demo(tmp_path)

    assert [path.stat().st_mtime_ns for path in paths] == before


def test_a_file_that_differs_stops_everything_and_is_named(tmp_path):
    mine = tmp_path / "pool.csv"
    mine.write_text("my own pool", encoding="utf-8")

    with pytest.raises(OutputError, match=r"pool\.csv is there already and differs"):
        write_demo(tmp_path)
    assert list(tmp_path.iterdir()) == [mine]
    assert mine.read_text(encoding="utf-8") == "my own pool"


def test_force_writes_over_a_file_that_differs(tmp_path):
    mine = tmp_path / "pool.csv"
    mine.write_text("my own pool", encoding="utf-8")
    write_demo(tmp_path, force=True)

    assert mine.read_bytes() == demo_files(lantern_fair())["pool.csv"]


def test_a_folder_that_is_a_file_is_refused(tmp_path):
    path = tmp_path / "demo"
    path.write_text("no folder", encoding="utf-8")

    with pytest.raises(OutputError, match="cannot write the demo to"):
        write_demo(path)


def test_a_folder_where_a_file_should_be_is_refused(tmp_path):
    (tmp_path / "pool.csv").mkdir()

    with pytest.raises(OutputError, match="cannot write the demo to"):
        write_demo(tmp_path, force=True)
    assert [path.name for path in tmp_path.iterdir()] == ["pool.csv"]


def test_a_failed_write_leaves_no_half_file(tmp_path, monkeypatch):
    def full(self, target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OutputError, match="no space left on device"):
        write_demo(tmp_path)
    assert list(tmp_path.iterdir()) == []
