"""The glossary of reasons."""

from typing import get_args

import pytest

from winrate_tools.decide.cards.reasons import Reason
from winrate_tools.report.cards.reasons import REASONS, explain


@pytest.mark.parametrize("reason", get_args(Reason))
def test_every_reason_that_is_given_is_explained(reason: str):
    assert explain(reason) != reason


@pytest.mark.parametrize("text", REASONS.values())
def test_explanations_go_on_inside_a_sentence(text: str):
    assert text[0].islower()
    assert not text.endswith(".")


def test_an_unheard_of_reason_speaks_for_itself():
    assert explain("rained off") == "rained off"
