"""Checked tables of the pool and of candidates."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from winrate_tools.errors import CountError
from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable
from winrate_tools.tables import Source

VINE, MOTH = PoolCard("Ash Vine", 3, price=0.4), PoolCard("Tin Moth", 0)
RECORD = Candidate(VINE, games=90, wins=50, baseline=0.54)
GUESS = Candidate(VINE, guess="like", spread=0.03)


def test_a_pool_keeps_the_order_of_the_file_and_counts_its_copies():
    pool = PoolTable([VINE, MOTH], places=["pool.csv:2", "pool.csv:3"])

    assert pool.cards == (VINE, MOTH)
    assert pool.size == 3
    assert pool.places == ("pool.csv:2", "pool.csv:3")
    assert pool.source.name == "<memory>"


@pytest.mark.parametrize("twin", ["Ash Vine", "ash vine", "Ash  Vine", " ASH VINE"])
def test_a_name_that_stands_twice_is_refused(twin: str):
    with pytest.raises(CountError, match=r"stands twice, first as 'Ash Vine'"):
        PoolTable([VINE, PoolCard(twin, 1)])
    with pytest.raises(CountError, match="stands twice"):
        CandidateTable([GUESS, Candidate(PoolCard(twin, 1), guess="like")])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"card": " "}, "every row needs a card name, got a blank one"),
        ({"copies": -1}, "'Ash Vine': copies must be a whole number from 0, got -1"),
        ({"copies": 1.5}, "'Ash Vine': copies must be a whole number, got 1.5"),
        ({"copies": 3.0}, "'Ash Vine': copies must be a whole number, got 3.0"),
        ({"copies": None}, "'Ash Vine': copies must be a whole number, got None"),
        ({"card": 3}, "card must be text, got 3"),
        ({"rarity": 3}, "'Ash Vine': rarity must be text or None, got 3"),
        ({"price": "1"}, "'Ash Vine': price must be a number or None, without quotes, got '1'"),
        ({"is_protected": "no"}, "'Ash Vine': is_protected must be True or False, got 'no'"),
        (
            {"archetypes": "Kites"},
            "'Ash Vine': archetypes must be a list of texts, got 'Kites'",
        ),
        ({"price": -0.1}, "'Ash Vine': price must be from 0, got -0.1"),
        ({"price": float("inf")}, "'Ash Vine': price must be from 0, got inf"),
        ({"price": float("nan")}, "'Ash Vine': price must be from 0, got nan"),
        ({"slot": ""}, "'Ash Vine': slot must be a name, got nothing"),
        ({"slot": " "}, "'Ash Vine': slot must be a name, got  "),
    ],
)
def test_a_card_that_makes_no_sense_is_refused(change: dict[str, object], message: str):
    with pytest.raises(CountError) as caught:
        PoolTable([replace(VINE, **change)])

    assert str(caught.value) == message


@pytest.mark.parametrize("price", [0, 0.4, None])
def test_a_price_may_be_nothing_or_unknown(price: float | None):
    assert PoolTable([replace(VINE, price=price)]).cards[0].price == price


@pytest.mark.parametrize(
    "candidate",
    [
        RECORD,
        GUESS,
        replace(RECORD, guess="stronger"),
        replace(GUESS, games=0, wins=0),
        replace(RECORD, wins=0),
        replace(RECORD, wins=90),
    ],
)
def test_a_candidate_has_a_record_or_a_guess_or_both(candidate: Candidate):
    assert CandidateTable([candidate], places=["a:2"]).candidates == (candidate,)


@pytest.mark.parametrize(
    ("candidate", "message"),
    [
        (
            Candidate(VINE),
            "'Ash Vine' needs games and wins, or a guess: weaker, like, stronger",
        ),
        (Candidate(VINE, games=0, wins=0, baseline=0.5), "'Ash Vine' needs games and wins, or"),
        (replace(RECORD, games=-1), "games must be a whole number from 0, got -1"),
        (replace(RECORD, wins=None), r"wins must be a whole number .* \(90\), got nothing"),
        (
            replace(RECORD, wins=91),
            r"wins must be a whole number from 0 to games \(90\), got 91",
        ),
        (replace(RECORD, wins=-1), "got -1"),
        (replace(RECORD, baseline=None), "baseline must be between 0 and 1, got nothing"),
        (replace(RECORD, baseline=0), "baseline must be between 0 and 1, got 0"),
        (replace(RECORD, baseline=1), "baseline must be between 0 and 1, got 1"),
        (replace(GUESS, guess="fine"), "guess must be one of weaker, like, stronger, got fine"),
        (replace(GUESS, spread=0), "spread must be between 0 and 1, got 0"),
        (replace(GUESS, spread=1), "spread must be between 0 and 1, got 1"),
        (replace(GUESS, card=replace(VINE, copies=-2)), "copies must be"),
    ],
)
def test_a_candidate_that_makes_no_sense_is_refused(candidate: Candidate, message: str):
    with pytest.raises(CountError, match=message):
        CandidateTable([candidate])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"games": 90.5}, "'Ash Vine': games must be a whole number or None, got 90.5"),
        ({"wins": 1.5}, "'Ash Vine': wins must be a whole number or None, got 1.5"),
        ({"spread": "0.1"}, "'Ash Vine': spread must be a number or None, without quotes, got"),
        (
            {"guess": 3},
            "'Ash Vine': guess must be 'weaker' or 'like' or 'stronger' or None, got 3",
        ),
        ({"card": "Ash Vine"}, "card must be a PoolCard, got 'Ash Vine'"),
    ],
)
def test_a_candidate_of_wrong_kinds_is_refused(change: dict[str, object], message: str):
    with pytest.raises(CountError) as caught:
        replace(RECORD, **change)

    assert str(caught.value).startswith(message)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: PoolTable(3), "cards must be a list of PoolCard, got 3"),
        (
            lambda: PoolTable([VINE, "x"]),
            "cards must be a list of PoolCard, got 'x' among them",
        ),
        (lambda: PoolTable([VINE], "pool.csv"), "source must be a Source, got 'pool.csv'"),
        (lambda: PoolTable([VINE], places="a:2"), "places must be a list of texts, got 'a:2'"),
        (lambda: CandidateTable(VINE), "candidates must be a list of Candidate, got PoolCard"),
        (
            lambda: CandidateTable([VINE]),
            "candidates must be a list of Candidate, got PoolCard",
        ),
        (lambda: CandidateTable(None), "candidates must be a list of Candidate, got None"),
    ],
)
def test_a_table_of_anything_else_is_refused(make: Callable[[], object], message: str):
    with pytest.raises(CountError) as caught:
        make()

    assert str(caught.value).startswith(message)


def test_rows_may_come_in_any_order_that_can_be_gone_through():
    card = PoolCard("Ash Vine", np.int64(2), archetypes=["Kites"], is_protected=np.True_)

    assert card == PoolCard("Ash Vine", 2, archetypes=("Kites",), is_protected=True)
    assert PoolTable(one for one in [VINE, MOTH]) == PoolTable((VINE, MOTH))


def test_what_is_not_said_of_a_card_is_unknown_and_it_is_not_protected():
    card = PoolCard("Ash Vine", 1)

    assert (card.faction, card.price, card.is_protected, card.slot) == (
        None,
        None,
        False,
        "main",
    )


def test_a_table_keeps_where_it_came_from():
    source = Source("pool.csv", "ab" * 32)

    assert PoolTable([VINE], source).source is source
    assert CandidateTable([GUESS], source).source is source
    assert CandidateTable([GUESS]).source == Source()


def test_pools_and_candidates_print_in_a_line():
    cards = [PoolCard(f"Card {n}", 2) for n in range(4)]
    new = CandidateTable([Candidate(cards[0], guess="like")])

    assert repr(PoolTable(cards)) == (
        "<PoolTable <memory>: 4 rows; Card 0, Card 1, Card 2 and 1 more>"
    )
    assert repr(new) == "<CandidateTable <memory>: 1 row; Card 0>"
