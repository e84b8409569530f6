"""Whether truths drawn from the prior fall evenly over what is then believed of them.

The bar: Kolmogorov and Smirnov's test of 300 pools finds p above .01 for each parameter that a
report rests on, and above .001 for each in the small run of every day.
"""

import pytest
from scipy.stats import kstest

from tests.calibration.uniformity import places_of_archetypes, places_of_cards

POOLS, FEW_POOLS = 300, 12


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
    with capsys.disabled():
        print(
            "",
            "| parameter | chance |",
            *(f"| {k} | {p:.2f} |" for k, p in found.items()),
            sep="\n",
        )

    assert min(found.values()) > 0.01, found
