"""Writing files whole or not at all."""

import os
from pathlib import Path

import pytest

from winrate_tools.errors import OutputError
from winrate_tools.files import check_target, is_same_file, write_whole


def test_a_new_file_holds_all_of_its_content_and_nothing_lies_beside_it(tmp_path: Path):
    write_whole(tmp_path / "cuts.md", b"Ash Vine\n")

    assert (tmp_path / "cuts.md").read_bytes() == b"Ash Vine\n"
    assert [path.name for path in tmp_path.iterdir()] == ["cuts.md"]


def test_a_file_that_is_replaced_keeps_its_permissions(tmp_path: Path):
    target = tmp_path / "cuts.md"
    target.write_text("old")
    target.chmod(0o640)

    write_whole(target, b"new")

    assert target.read_bytes() == b"new"
    assert target.stat().st_mode & 0o777 == 0o640


def test_a_link_stays_a_link_and_its_target_is_replaced(tmp_path: Path):
    target, link = tmp_path / "real.md", tmp_path / "link.md"
    target.write_text("old")
    link.symlink_to(target)

    write_whole(link, b"new")

    assert link.is_symlink()
    assert target.read_bytes() == b"new"


def test_a_failed_move_leaves_the_old_file_and_no_litter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    target = tmp_path / "cuts.md"
    target.write_text("old")

    def full(_self: Path, _target: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OutputError, match=r"cannot write .*: no space left on device"):
        write_whole(target, b"new")

    assert target.read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["cuts.md"]


def test_a_device_is_written_to_directly():
    write_whole(Path(os.devnull), b"gone")

    assert not Path(os.devnull).is_file()


@pytest.mark.parametrize(
    ("name", "force", "message"),
    [
        pytest.param(".", True, "is a folder; name a file in it", id="folder"),
        pytest.param("there.md", False, "exists; --force writes over it", id="exists"),
        pytest.param("no/cuts.md", True, "there is no folder .* to write cuts.md", id="none"),
    ],
)
def test_a_target_that_cannot_be_written_is_refused_beforehand(
    tmp_path: Path, name: str, force: bool, message: str
):
    (tmp_path / "there.md").write_text("old")

    with pytest.raises(OutputError, match=message):
        check_target(tmp_path / name, force=force)


def test_force_lets_a_file_that_exists_go(tmp_path: Path):
    (tmp_path / "there.md").write_text("old")

    assert check_target(tmp_path / "there.md", force=True) is None


def test_a_file_is_itself_by_every_path_that_leads_to_it(tmp_path: Path):
    file, link, twin = tmp_path / "a.csv", tmp_path / "link.csv", tmp_path / "twin.csv"
    file.write_text("same")
    twin.write_text("same")
    link.symlink_to(file)
    (tmp_path / "deep").mkdir()

    assert is_same_file(file, file)
    assert is_same_file(link, file)
    assert is_same_file(tmp_path / "deep" / ".." / "a.csv", file)
    assert not is_same_file(twin, file)
    assert not is_same_file(tmp_path / "new.csv", file)
    assert not is_same_file(file, tmp_path / "new.csv")
    assert not is_same_file(Path(os.devnull), Path(os.devnull))
