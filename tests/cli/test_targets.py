"""All files that one run is to write."""

import os
from pathlib import Path

import pytest

from winrate_tools.cli.targets import Target, asked, demand_ending, demand_targets
from winrate_tools.errors import OutputError


def test_only_what_is_asked_for_is_a_target():
    assert asked(html="a.html", xlsx=None, plot="b.png") == (
        Target("--html", "a.html"),
        Target("--plot", "b.png"),
    )


def test_only_the_result_goes_to_the_screen():
    with pytest.raises(OutputError, match=r"^--html must name a file, got -$"):
        asked(html="-")


@pytest.mark.parametrize(
    ("path", "endings", "message"),
    [
        ("cuts.gif", (".png", ".svg", ".pdf"), "--x must end in .png, .svg or .pdf, got .gif"),
        ("cuts", (".xlsx",), "--x must end in .xlsx, got cuts"),
    ],
)
def test_a_name_that_promises_something_else_is_refused(path, endings, message):
    with pytest.raises(OutputError) as caught:
        demand_ending(Target("--x", path), endings)
    assert str(caught.value) == message


def test_endings_may_be_of_any_case():
    assert demand_ending(Target("--x", "deep.txt/CUTS.PNG"), (".png",)) is None


def test_two_outputs_are_never_one_file(folder: Path):
    Path("deep").mkdir()
    two = [Target("-o", "deep/../cuts.md"), Target("--html", str(folder / "cuts.md"))]

    with pytest.raises(
        OutputError, match=r"^-o and --html name one file, /.*cuts\.md; name two$"
    ):
        demand_targets(two, {}, force=True)


def test_a_link_is_the_file_it_leads_to(folder: Path):
    Path("one.md").write_text("mine")
    os.link("one.md", "two.html")
    two = [Target("-o", "one.md"), Target("--html", "two.html")]

    with pytest.raises(OutputError, match="name one file"):
        demand_targets(two, {}, force=True)


def test_the_screen_is_nobodys_file(folder: Path):
    found = [Target("-o", "-"), Target("--html", "./-")]

    assert demand_targets(found, {"table": ["cards.csv"]}, force=False) is None


def test_no_target_is_an_input(folder: Path):
    Path("cards.csv").write_text("mine")
    found = [Target("-o", "cuts.md"), Target("--html", "cards.csv")]

    with pytest.raises(
        OutputError, match=r"^--html names the table that is read; name another"
    ):
        demand_targets(found, {"table": ["cards.csv"]}, force=True)


@pytest.mark.parametrize("place", [0, 1])
def test_every_target_must_be_possible(place: int, folder: Path):
    Path("old.md").write_text("mine")
    found = [Target("-o", "new.md"), Target("--html", "new.html")]
    found[place] = Target("-o", "old.md")

    with pytest.raises(OutputError, match=r"^old\.md exists; --force writes over it$"):
        demand_targets(found, {}, force=False)
    assert demand_targets(found, {}, force=True) is None
