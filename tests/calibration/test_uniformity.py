"""Whether truths drawn from the prior fall evenly over what is then believed of them.

The bar: Kolmogorov and Smirnov's test of 1,200 pools finds a chance above .01 for each
parameter, the class of odd cards and its depth among them: so many pools show a fault half as
large as 300 would. In the small run of every day the bar is .001.
"""

import pytest
from scipy.stats import kstest

from tests.calibration.uniformity import places_of_archetypes, places_of_cards

POOLS, FEW_POOLS = 1200, 12


def chances(seeds: range) -> dict[str, float]:
    places = [places_of_cards(seed) | places_of_archetypes(seed) for seed in seeds]
    return {name: kstest([one[name] for one in places], "uniform").pvalue for name in places[0]}


def test_truths_of_a_few_pools_fall_evenly():
    found = chances(range(5000, 5000 + FEW_POOLS))

    assert len(found) == 14
    assert min(found.values()) > 0.001, found


@pytest.mark.slow
def test_truths_of_many_pools_fall_evenly(capsys: pytest.CaptureFixture[str]):
    found = chances(range(6000, 6000 + POOLS))
    lines = [f"| {name} | {chance:.3f} |" for name, chance in found.items()]
    with capsys.disabled():
        print("", "| parameter | chance |", *lines, sep="\n")

    assert len(found) == 14
    assert min(found.values()) > 0.01, found
