"""How many games it takes, in a notebook."""

import pytest

from winrate_tools.errors import SettingError
from winrate_tools.jobs.power import GAMES, GAPS, power
from winrate_tools.report.support.power_table import power_report
from winrate_tools.settings import Settings
from winrate_tools.stats.planning.power import chance_to_tell, games_to_tell, smallest_gap


def test_every_number_is_that_of_the_statistics():
    settings = Settings(baseline=0.6, margin=0.01, sure=0.8)
    found = power(settings, design_effect=2).found
    asked = {"sure": 0.8, "design_effect": 2}

    assert found.line == pytest.approx(0.59)
    assert (found.gaps, found.games) == (GAPS, GAMES)
    assert list(found.needed) == games_to_tell(GAPS, found.line, chance=0.8, **asked).tolist()
    assert list(found.smallest) == smallest_gap(GAMES, found.line, chance=0.8, **asked).tolist()
    for gap, told in zip(GAPS, found.told, strict=True):
        assert list(told) == chance_to_tell(GAMES, gap, found.line, **asked).tolist()


@pytest.mark.parametrize("baseline", ["sample", "player_rate"])
def test_without_a_rate_the_baseline_is_a_usual_one(baseline: str):
    found = power(baseline=baseline).found

    assert (found.baseline, found.margin, found.is_given) == (0.55, 0.02, False)
    assert found.design_effect == 1.28
    assert power(baseline=0.5).found.is_given


def test_rows_are_every_gap_with_every_number_of_games():
    needed = power(baseline=0.5, gaps=[0.02, 0.04], games=[2, 500])
    rows = [(row["gap"], row["games"]) for row in needed.rows]

    assert rows == [(0.02, 2), (0.02, 500), (0.04, 2), (0.04, 500)]
    assert needed.rows[0]["smallest_gap"] is None
    assert needed.rows[3]["games_needed"] == needed.found.needed[1]
    assert needed.rows[2]["chance"] == needed.found.told[1][0]
    assert needed.document == power_report(needed.found)


@pytest.mark.parametrize("gap", [0.48, 0.6, 0, -0.01, float("nan")])
def test_a_gap_needs_room_below_the_line(gap: float):
    with pytest.raises(SettingError, match=r"gaps must lie between 0 and the line of 48%, got"):
        power(baseline=0.5, gaps=[0.01, gap])


def test_a_margin_needs_room_below_the_baseline():
    with pytest.raises(SettingError, match="must leave a line above 0, got -1%"):
        power(baseline=0.1, margin=0.11)
