"""The command demo."""

from pathlib import Path

import pytest


@pytest.fixture
def quick_demo(monkeypatch) -> None:
    """Stand in for the demo's files, which take a while."""

    def write(folder: Path, *, force: bool = False) -> list[Path]:
        folder.mkdir()
        (folder / "cards.csv").write_text(f"force {force}")
        return [folder / "cards.csv"]

    monkeypatch.setattr("winrate_tools.simulate.lantern_fair.write_demo", write)


def test_the_demo_lists_its_files_and_says_what_to_try(quick_demo, run):
    result = run("demo", "lamps", "--force")

    assert result.stdout == f"{Path('lamps/cards.csv')}\n"
    assert result.stderr == f"next: winrate-tools rank {Path('lamps/cards.csv')}\n"
    assert Path("lamps/cards.csv").read_text() == "force True"


def test_the_demo_has_a_folder_of_its_own_unless_told(quick_demo, run):
    assert run("demo").exit_code == 0
    assert Path("sample_data/cards.csv").read_text() == "force False"


def test_files_that_differ_are_not_written_over(run, folder):
    Path("lamps").mkdir()
    Path("lamps/cards.csv").write_text("mine")
    result = run("demo", "lamps")

    assert result.exit_code == 2
    assert "cards.csv" in result.stderr
    assert Path("lamps/cards.csv").read_text() == "mine"
