"""Files that a command writes besides its result."""

import sys
from pathlib import Path

import pytest

from winrate_tools.cli.files_beside import (
    demand_extras,
    picture_targets,
    workbook,
    write_all,
)
from winrate_tools.cli.targets import Target
from winrate_tools.errors import MissingExtraError, OutputError
from winrate_tools.ranking import Ranking, rank
from winrate_tools.report.figures.gallery import gallery
from winrate_tools.tables import CardTable


@pytest.fixture(scope="module")
def ranking() -> Ranking:
    names = [f"Lamp {i}" for i in range(12)]
    games = [500] * 12
    return rank(
        CardTable(
            [*names, *names],
            [*games, *games],
            [*range(220, 280, 5), *range(230, 290, 5)],
            archetype=["Bells"] * 12 + ["Tides"] * 12,
            mean_pick=[1 + i / 2 for i in range(12)] * 2,
        )
    )


@pytest.mark.parametrize(
    ("option", "library", "extra"),
    [("--xlsx", "xlsxwriter", "xlsx"), ("--plot", "matplotlib", "plot")],
)
def test_a_missing_library_is_named_with_its_extra(option, library, extra, monkeypatch):
    assert demand_extras([Target(option, "x")]) is None
    monkeypatch.setitem(sys.modules, library, None)

    with pytest.raises(MissingExtraError) as caught:
        demand_extras([Target("--html", "y"), Target(option, "x")])
    assert str(caught.value) == (
        f'{option} needs {library}: pip install "winrate_tools[{extra}]"'
    )


def test_a_page_needs_no_extra(monkeypatch):
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)

    assert demand_extras([Target("--html", "x")]) is None


def test_every_picture_of_a_report_is_known_before_it_is_drawn(ranking):
    drawn = [f"deep/cuts.{figure.name}.svg" for figure in gallery(ranking.verdict)]

    known = {path for _, path in picture_targets("deep/cuts.md")}
    assert set(drawn) == known
    assert {option for option, _ in picture_targets("cuts.md")} == {"-o"}


def test_a_workbook_is_made(ranking):
    assert workbook(ranking, ranking.cuts, {}).startswith(b"PK")


def test_files_are_written_whole_and_named(folder, capsys):
    write_all({"a.bin": b"1", "b.bin": b"2"}, force=False)

    assert [Path("a.bin").read_bytes(), Path("b.bin").read_bytes()] == [b"1", b"2"]
    assert capsys.readouterr().err == "wrote a.bin\nwrote b.bin\n"
    with pytest.raises(OutputError, match="exists"):
        write_all({"a.bin": b"3"}, force=False)
