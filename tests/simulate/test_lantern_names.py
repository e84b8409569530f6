import pytest

from winrate_tools.simulate.lantern_names import (
    FIRST_WORDS,
    LAST_WORDS,
    ROLES,
    TRADES,
    fair_name,
    lantern_name,
)


@pytest.mark.parametrize("home", [*TRADES, "any", "Wick-Cog"])
def test_two_hundred_cards_of_a_home_have_names_of_their_own(home):
    assert len({fair_name(home, place) for place in range(200)}) == 200


def test_no_word_is_used_by_two_trades():
    first = [word for words in FIRST_WORDS.values() for word in words.split()]
    last = [word for roles in LAST_WORDS.values() for words in roles for word in words]

    assert len(first) == len(set(first)) == 70
    assert len(last) == len(set(last)) == 140


def test_the_role_is_that_of_the_last_word():
    name, role = fair_name("Petal", 13)
    word = name.split(maxsplit=1)[1]

    assert word in LAST_WORDS["Petal"][ROLES.index(role)]


def test_a_card_of_two_trades_has_a_word_of_each():
    first, last = fair_name("Ferry-Quill", 4)[0].split(maxsplit=1)

    assert first in FIRST_WORDS["Ferry"].split()
    assert any(last in words for words in LAST_WORDS["Quill"])


def test_the_first_ten_cards_of_a_home_have_two_of_each_role():
    roles = [fair_name("Hearth", place)[1] for place in range(10)]

    assert [roles.count(role) for role in ROLES] == [2] * 5


def test_ten_lanterns_of_a_home_have_names_of_their_own():
    assert len({lantern_name("Cog-Petal", place) for place in range(10)}) == 10
