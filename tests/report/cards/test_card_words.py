"""What is printed of a card, true to its verdict."""

import re
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.decide.cards.rules import Rule
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.cards import card_words

RATES = st.floats(0.02, 0.98)
SURE = st.floats(0.501, 0.9999)
NUMBER = re.compile(r"[\d.]+")


def printed(text: str) -> list[float]:
    return [float(number) for number in NUMBER.findall(text)]


@st.composite
def judged_cards(draw, make_card, make_pool) -> tuple[CardVerdict, PoolVerdict]:
    """A card near its line, its range and chance from one normal, judged by the rule."""
    line, sure = draw(RATES), draw(SURE)
    spread = draw(st.floats(1e-7, 0.05))
    steps = draw(st.floats(-4, 4))
    estimate = min(max(line + steps * spread, 0.001), 0.999)
    value = NormalDist(estimate, spread)
    card = make_card(
        "Ash Vine",
        estimate,
        spread,
        line=line,
        sure=sure,
        low=max(value.inv_cdf(1 - sure), 0.0),
        high=min(value.inv_cdf(sure), 1.0),
        verdict=Rule(line, sure).verdict(value.cdf(line)),
        reasons=(),
    )
    return card, make_pool(card, line=line, sure=sure)


@given(data=st.data())
def test_no_printed_number_contradicts_its_verdict(data, make_card, make_pool):
    card, pool = data.draw(judged_cards(make_card, make_pool))

    [line] = printed(words.exact_percent(pool.line))
    low, high = printed(card_words.range_of(card, pool))
    [estimate] = printed(card_words.estimate(card, pool))
    if card.verdict == "cut":
        assert high < line
        assert estimate < line
    elif card.verdict == "keep":
        assert low > line
        assert estimate > line
    else:
        assert low < line < high
    assert low <= estimate <= high


@given(data=st.data())
def test_no_printed_number_strays_from_the_number_it_prints(data, make_card, make_pool):
    card, pool = data.draw(judged_cards(make_card, make_pool))

    shown = [
        *printed(card_words.range_of(card, pool)),
        *printed(card_words.estimate(card, pool)),
    ]
    assert shown == pytest.approx(
        [100 * card.low, 100 * card.high, 100 * card.estimate], abs=0.0501
    )


def test_a_card_without_games_has_no_chance_of_its_own(make_card, make_pool):
    card = make_card("Ash Vine", 0.4, games=0)
    pool = make_pool(card)

    assert card_words.chance_below(card, pool) == "no games"
    assert card_words.range_of(card, pool) == "38.7 to 41.3%"


@pytest.mark.parametrize(
    ("verdict", "needed", "text"),
    [
        ("cut", 0, "settled"),
        ("keep", 0, "settled"),
        ("more games", 1249, "1,200"),
        ("more games", None, "won't help"),
    ],
)
def test_games_needed_fit_a_cell(verdict, needed, text, make_card, pool):
    card = make_card(
        "Ash Vine", 0.49, verdict=verdict, games_needed=needed, reasons=(), games=4000
    )

    assert card_words.games_needed(card, pool) == text


def test_a_keep_of_hardly_any_games_is_settled_by_the_pool(make_card, pool):
    card = make_card("Ash Vine", 0.53, games=40)

    assert card.verdict == "keep"
    assert card_words.games_needed(card, pool) == "settled by the pool"


def test_ranks_are_ranges_whichever_end_comes_first(make_card):
    card = make_card("Ash Vine", 0.49, rank_low=1240, rank_high=3)

    assert card_words.ranks(card) == "3 to 1,240"


def test_games_that_may_settle_a_card_or_not_say_so_in_a_cell(make_card, pool):
    card = make_card("Ash Vine", 0.49, games_needed=None, games_worth=1910, chance_worth=0.4)

    assert card_words.games_needed(card, pool) == "1,900 or never"
