"""What happens where a world is not as the estimates assume: what breaks, and what is said.

Cover is that of 90 % ranges; stated and wrong are shares of the cuts. Wherever cover falls
below 80 %, or five times as many cuts are wrong as were stated (and one in ten at least), a
caution must be given in most worlds, either for what the table lacks or for how it fits.
"""

from functools import cache

import pytest

from tests.calibration.broken_worlds import (
    DETAILS,
    OF_FIT,
    WORLDS,
    Outcome,
    outcome,
    played,
    told,
)
from tests.calibration.scoring import mean_score
from winrate_tools.settings import Settings
from winrate_tools.simulate.history import Simulation

SEEDS = range(3100, 3108)
HEAD = "| world | counts | cover % | cuts | stated % | wrong % | cautions of misfit |"
LEAST_COVER = 0.8
MOST_WRONG = 0.1


@cache
def world(name: str) -> Simulation:
    return played(name, seed=3001)


@pytest.mark.parametrize(
    ("name", "detail", "caution"),
    [
        ("usage uninformative", "totals", "usage tells little"),
        ("usage uninformative", "by archetype", "usage tells little"),
        ("usage misleading", "totals", "usage tells little"),
        ("games in longer runs", "by archetype", "scattered records"),
        ("games in longer runs", "by archetype and band", "scattered records"),
        ("long games suit some", "the same, unheld", "uneven pace"),
        ("strong players choose", "totals", "no skill bands"),
        ("strong players choose", "by archetype", "no skill bands"),
    ],
)
def test_a_table_that_breaks_an_assumption_earns_a_caution(name, detail, caution):
    assert caution in outcome(world(name), DETAILS[detail]).cautions


@pytest.mark.parametrize("detail", DETAILS)
def test_a_table_as_assumed_earns_none(detail):
    assert not set(outcome(world("as assumed"), DETAILS[detail]).cautions) & set(OF_FIT)


def test_a_design_effect_that_is_far_too_large_is_noticed():
    exaggerated = Settings(design_effect=4.0)

    found = outcome(world("as assumed"), DETAILS["by archetype"], exaggerated)
    assert "records too alike" in found.cautions


@pytest.mark.slow
@pytest.mark.parametrize("name", WORLDS)
def test_what_breaks_is_said(name: str, capsys: pytest.CaptureFixture[str]):
    found: dict[str, list[Outcome]] = {detail: [] for detail in DETAILS}
    for seed in SEEDS:
        simulation = played(name, seed)
        for detail, outcomes in found.items():
            outcomes.append(outcome(simulation, DETAILS[detail]))
    lines = {detail: _line(name, detail, outcomes) for detail, outcomes in found.items()}
    with capsys.disabled():
        print("", HEAD, *lines.values(), sep="\n")

    unsaid = [detail for detail, outcomes in found.items() if _broken_in_silence(outcomes)]
    assert unsaid == []


def _line(name: str, detail: str, outcomes: list[Outcome]) -> str:
    mean = mean_score(one.score for one in outcomes)
    cuts = max(mean.cuts, 1e-9)
    return (
        f"| {name} | {detail} | {100 * mean.cover:.1f} | {mean.cuts:.1f} "
        f"| {100 * mean.stated_wrong / cuts:.1f} | {100 * mean.wrong / cuts:.1f} "
        f"| {told(outcomes)} |"
    )


def _broken_in_silence(outcomes: list[Outcome]) -> bool:
    mean = mean_score(one.score for one in outcomes)
    wrong = mean.wrong > max(5 * mean.stated_wrong, MOST_WRONG * mean.cuts)
    warned = sum(bool({*OF_FIT, "no skill bands"} & set(one.cautions)) for one in outcomes)
    return (mean.cover < LEAST_COVER or wrong) and warned <= len(outcomes) / 2
