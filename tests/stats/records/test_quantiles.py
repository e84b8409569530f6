"""Quantiles of a few numbers."""

import numpy as np
import pytest

from winrate_tools.stats.records.quantiles import sample_quantile


@pytest.mark.parametrize("count", [1, 2, 5, 8, 60])
@pytest.mark.parametrize("level", [0.0, 0.3, 0.5, 0.6, 1.0])
def test_the_point_below_which_a_share_lies_is_that_of_numpy(count: int, level: float):
    values = np.random.default_rng(count).normal(size=count)

    assert sample_quantile(values, level) == pytest.approx(
        np.quantile(values, level), rel=1e-12
    )


def test_the_order_of_the_values_does_not_matter():
    values = np.array([3.0, 1.0, 2.0])
    sample_quantile(values, 0.5)

    assert sample_quantile(values[::-1], 0.25) == 1.5
    assert values.tolist() == [3.0, 1.0, 2.0]
