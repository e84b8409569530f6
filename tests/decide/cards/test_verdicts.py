"""The plain values that verdicts are handed on as."""

import re
from dataclasses import FrozenInstanceError, fields
from typing import get_args

import pytest

from winrate_tools.columns import RANKING_COLUMNS
from winrate_tools.decide.cards.beliefs import Beliefs
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.reasons import Reason
from winrate_tools.decide.cards.verdicts import CardVerdict, Caution, PoolVerdict
from winrate_tools.tables import CardTable

POOL = judge(CardTable(["Ash Vine", "Tin Moth"], [4000, 4000], [1600, 2400]))


def test_a_card_has_every_column_of_a_ranking():
    assert set(RANKING_COLUMNS) <= {field.name for field in fields(CardVerdict)}


@pytest.mark.parametrize("kind", [CardVerdict, PoolVerdict])
def test_every_value_is_explained(kind: type):
    explained = set(
        re.findall(r"\w+", " ".join(re.findall(r"(?m)^    (\S.*) : ", kind.__doc__)))
    )

    assert explained == {field.name for field in fields(kind)}


@pytest.mark.parametrize("value", [POOL, POOL.cards[0]], ids=["pool", "card"])
def test_a_verdict_cannot_be_changed(value: object):
    with pytest.raises(FrozenInstanceError):
        setattr(value, fields(value)[0].name, None)


def test_values_are_plain_and_of_the_kinds_they_say():
    card = POOL.cards[0]
    plain = {str, int, float, bool, tuple, type(None)}

    assert {type(getattr(card, field.name)) for field in fields(card)} <= plain
    assert {type(getattr(POOL, field.name)) for field in fields(POOL)} <= {*plain, Beliefs}


def test_reasons_and_cautions_are_words():
    assert CardVerdict.__annotations__["reasons"] == "tuple[Reason, ...]"
    assert all(
        re.fullmatch("[a-z ]+", word) for word in (*get_args(Reason), *get_args(Caution))
    )


def test_cards_are_found_by_their_verdict_and_by_any_of_some_reasons():
    [open_one, sound] = POOL.cards

    assert POOL.called("more games") == [open_one]
    assert POOL.called("keep") == [sound]
    assert POOL.called("cut") == []
    assert POOL.because("trap", "hidden company") == [open_one]
    assert POOL.because("trap") == []
