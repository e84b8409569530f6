"""What limits the verdicts, in sentences."""

from typing import get_args

import pytest

from winrate_tools.decide.verdicts import Caution
from winrate_tools.report.cautions import cautions


@pytest.mark.parametrize("warning", get_args(Caution))
def test_every_warning_that_is_given_becomes_a_sentence(warning: str, make_pool):
    [sentence] = cautions(make_pool(warnings=(warning,)))

    assert sentence[0].isupper()
    assert sentence.endswith(".")
    assert warning != sentence


def test_a_far_baseline_is_shown_beside_the_tables_own_mean(make_pool):
    [sentence] = cautions(make_pool(warnings=("baseline too high",), sample_mean=0.4812))

    assert "51.0% lies well over this table's own mean of 48.12%" in sentence


def test_an_unheard_of_warning_speaks_for_itself(make_pool):
    assert cautions(make_pool(warnings=("Wet cards.",))) == ("Wet cards.",)
