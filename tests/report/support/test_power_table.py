"""What games can show, in words."""

from dataclasses import replace

import pytest

from winrate_tools.report.forms import markdown, text
from winrate_tools.report.forms.screen import Screen
from winrate_tools.report.support.power_pool import PoolBehind, pool_sentence
from winrate_tools.report.support.power_table import PowerTable, needed_sentence, power_report

POWER = PowerTable(
    baseline=0.55,
    margin=0.02,
    is_given=True,
    sure=0.9,
    chance=0.8,
    design_effect=1.28,
    gaps=(0.01, 0.025, 0.05),
    games=(1, 300, 3000),
    needed=(14_687, 2_391, 618),
    told=((0.0, 0.14, 0.37), (0.0, 0.26, 0.86), (0.0, 0.56, 0.9994)),
    smallest=(None, 0.0724, 0.00219),
)

BELOW = ((30.2, 17, 43), (6.02, 1, 13), (0.04, 0, 0))
BEHIND = PoolBehind("cards.csv", "sample", 240, 0.0234, (0.0183, 0.0269), BELOW, (1, 300, 3000))


def said(power: PowerTable) -> str:
    return " ".join(text.render(power_report(power)).split())


def row(power: PowerTable, start: str) -> list[str]:
    lines = markdown.render(power_report(power)).splitlines()
    [line] = [line for line in lines if line.startswith(f"| {start} |")]
    return [cell.strip() for cell in line.strip("|").split("|")]


def test_one_sentence_says_what_the_numbers_mean():
    assert needed_sentence(POWER) == (
        "A card 2.5 points below the line needs about 2,400 games before you would be 9 in 10 "
        "sure of it with a chance of 16 in 20."
    )
    assert needed_sentence(POWER) in said(POWER)


def test_each_gap_has_a_row_with_games_needed_and_chances():
    assert row(POWER, "Below the line") == [
        "Below the line", "Games needed", "1 game", "300 games", "3,000 games",
    ]  # fmt: skip
    assert row(POWER, "1 point") == [
        "1 point", "15,000", "under 1 in 20", "3 in 20", "7 in 20",
    ]  # fmt: skip
    assert row(POWER, "5 points") == [
        "5 points", "620", "under 1 in 20", "11 in 20", "over 19 in 20",
    ]  # fmt: skip


def test_each_number_of_games_has_a_row_with_the_smallest_distance():
    assert row(POWER, "1 game")[1] == "too few to tell"
    assert row(POWER, "300 games")[1] == "7.2 points"
    assert row(POWER, "3,000 games")[1] == "0.22 points"


def test_the_line_is_said_with_its_origin():
    assert "The line is 53.0%: 2 points under the baseline of 55.0% (given by you)." in (
        said(POWER)
    )
    assert "baseline of 55.0% (a usual one, as there is no table to ask)" in (
        said(replace(POWER, is_given=False))
    )
    assert "The line is the baseline of 55.0% (given by you); a card that truly wins less" in (
        said(replace(POWER, margin=0))
    )


def test_how_games_count_is_said():
    assert "1.28 games count as one independent game" in said(POWER)
    assert "Every game counts as independent" in said(replace(POWER, design_effect=1))


@pytest.mark.parametrize(
    ("sure", "name", "luck"),
    [(0.9, "9 in 10 sure", "2 in 20"), (0.95, "95 in 100 sure", "1 in 20")],
)
def test_how_sure_is_explained(sure: float, name: str, luck: str):
    shown = said(replace(POWER, sure=sure))

    assert f"- {name}: of cards that lie exactly on the line, about {luck} look" in shown
    assert f"before you would be {name} of it" in shown


def test_what_games_cannot_remove_is_said():
    assert "What a record owes to the players" in said(POWER)


@pytest.mark.parametrize("columns", [40, 60, 80])
def test_games_needed_are_shown_however_narrow_the_page(columns: int):
    lines = text.render(power_report(POWER), Screen(columns)).splitlines()

    assert max(map(len, lines)) <= columns
    assert [line for line in lines if line.split()[:3] == ["1", "point", "15,000"]]


def test_far_too_few_games_are_told_what_it_would_take():
    few = replace(POWER, games=(5, 18), told=((0.0, 0.1),) * 3, smallest=(None, 0.298))

    assert (
        "So few games tell hardly any card from another: few cards lie more than 10 points "
        "below the line. It takes some 2,400 games a card to tell 2.5 points, and some 620 to "
        "tell 5 points. Put friends' records of the same pool into one table, or take a wider "
        "margin"
    ) in said(few)
    assert "So few games" not in said(POWER)
    assert "So few games" not in said(replace(few, smallest=(None, 0.1)))


def test_a_pool_is_said_with_where_its_baseline_comes_from():
    shown = said(replace(POWER, is_given=False, pool=BEHIND))

    assert "the baseline of 55.0% (the mean of this table)" in shown
    assert " ".join(pool_sentence(BEHIND).split()) in shown
    assert "- Cards so far below: how many cards of cards.csv" in shown
    assert "(given by you)" in said(replace(POWER, pool=BEHIND))


def test_cards_so_far_below_stand_beside_the_games_needed_with_their_range():
    with_pool = replace(POWER, pool=BEHIND)

    assert row(with_pool, "Below the line")[:3] == [
        "Below the line", "Games needed", "Cards so far below",
    ]  # fmt: skip
    assert row(with_pool, "1 point")[2] == "about 30 (17 to 43)"
    assert row(with_pool, "2.5 points")[2] == "about 6.0 (1 to 13)"
    assert row(with_pool, "5 points")[2:4] == ["under 0.1 (0 to 0)", "under 1 in 20"]
    assert "ards so far below" not in said(POWER)


@pytest.mark.parametrize(("games", "jumps"), [((99, 300), True), ((100, 300), False)])
def test_few_games_are_said_to_jump(games, jumps):
    power = replace(POWER, games=games, told=((0.1, 0.2),) * 3, smallest=(0.07, 0.05))

    assert ("games are whole, and whole games jump." in said(power)) is jumps
