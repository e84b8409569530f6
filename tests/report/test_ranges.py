"""Ranges of what is no win rate."""

import pytest

from winrate_tools.report import ranges


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [(0.018, 0.0269, "1.8 to 2.7"), (0.0, 0.1, "0.0 to 10.0"), (0.0004, 0.02, "0.0 to 2.0")],
)
def test_points_have_one_decimal_at_both_ends(low: float, high: float, shown: str):
    assert ranges.points(low, high) == shown


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        (0.263, 0.566, "26 to 57%"),
        (0.001, 0.04, "under 1% to 4%"),
        (0.6, 0.999, "60% to over 99%"),
        (0.0, 1.0, "0 to 100%"),
    ],
)
def test_shares_never_reach_none_or_all_by_rounding(low: float, high: float, shown: str):
    assert ranges.shares(low, high) == shown
