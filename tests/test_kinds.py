"""Of what kind a value is, whoever made the table."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from inspect import isclass, signature
from typing import NamedTuple

import numpy as np
import pandas as pd
import pytest

import winrate_tools as wt
from winrate_tools.errors import CountError, WinrateError
from winrate_tools.goals import Quota
from winrate_tools.journal import JournalRow
from winrate_tools.kinds import demand_kinds, fits, holds_items, number_column
from winrate_tools.tables import Source

DAY = dt.date(2026, 1, 9)
CARD = wt.PoolCard("Ash Vine", 3)
MADE = {
    wt.ArchetypeTable: {
        "archetype": ["Kites"], "games": [9], "wins": [4], "skill_band": ["new"],
        "factions": ["Cog"], "source": Source(),
    },
    wt.Candidate: {
        "card": CARD, "games": 9, "wins": 4, "baseline": 0.5, "guess": "like", "spread": 0.03,
    },
    wt.CandidateTable: {
        "candidates": [wt.Candidate(CARD, guess="like")], "source": Source(), "places": ["a:2"],
    },
    wt.CardTable: {
        "card": ["Ash", "Bee"], "games": [9, 9], "wins": [3, 3], "source": Source(),
        "columns": {"archetype": ["Kites", None], "mean_pick": [1, 2.0]},
    },
    wt.Goals: {"keep": ("role",), "copies": (("rare", 1),), "quotas": (), "whole": True},
    wt.Match: {
        "player": "Ada", "opponent": "Bo", "games_won": 2, "games_lost": 1, "date": DAY,
    },
    wt.MatchTable: {
        "matches": [wt.Match("Ada", "Bo", 2, 1)], "source": Source(), "places": ["a:2"],
    },
    wt.PoolCard: {"card": "Ash Vine", "copies": 3},
    wt.PoolTable: {"cards": [CARD], "source": Source(), "places": ["a:2"]},
    wt.Settings: {},
    JournalRow: {"date": DAY, "change": "3 in", "archetype": "Kites"},
    Quota: {"label": "role", "name": "guest", "low": 3},
}  # fmt: skip
"""What users make by hand, with arguments that do."""
TABLES = {
    wt.Candidate: wt.CandidateTable,
    wt.Match: wt.MatchTable,
    wt.PoolCard: wt.PoolTable,
}
ARGUMENTS = [
    (made, name)
    for made, given in MADE.items()
    for name in [*signature(made).parameters, *given.get("columns", {})]
    if name != "columns"
]
TEXTS = "'Tub': worms must be a list of texts, got"
PAIRS = "'Tub': prices must be a list of pairs of text and a whole number, got"
WRONG = (
    object(), 3, 2.5, True, None, "x", "", b"x", [], [3], ["x"], ["x", 3], [None], {"a": 1},
    {1}, float("nan"), float("inf"), 10**400, [10**400, 1], 1j, DAY, dt.datetime(2026, 1, 9, 3),
    ("x", "y"), [CARD], [[1, 2], [3]], pd.NaT,
    pd.DataFrame({"a": [1]}), pd.NA, np.array([[1.0, 2.0]]),
    np.array(3), np.array(["x"]), np.array([DAY], dtype="M8[D]"), [True, True], ["1", "2"], len,
)  # fmt: skip


class Worm(NamedTuple):
    """A tuple of its own kind."""

    name: str
    length: int


@dataclass(frozen=True, slots=True)
class Basket:
    """Something with fields of most kinds."""

    name: str
    weight: float = 1
    apples: int = 0
    eaten: bool = False
    picked: dt.date | None = None
    worms: tuple[str | None, ...] = ()
    prices: tuple[tuple[str, int], ...] = ()

    def __post_init__(self) -> None:
        demand_kinds(self, CountError, self.name)


def refusal(make: Callable[..., object], *args: object, **given: object) -> str:
    """The message of a refusal, "" for none; whatever is no error of ours escapes."""
    try:
        make(*args, **given)
    except WinrateError as error:
        return str(error)
    return ""


@pytest.mark.parametrize(
    ("made", "name"), ARGUMENTS, ids=[f"{made.__name__}-{name}" for made, name in ARGUMENTS]
)
def test_whatever_an_argument_is_given_it_does_or_is_refused_by_an_error_of_ours(made, name):
    given = MADE[made] | MADE[made].get("columns", {})
    given.pop("columns", None)
    table = TABLES.get(made, repr)

    said = [
        refusal(lambda value: table([made(**given | {name: value})]), wrong) for wrong in WRONG
    ]

    assert refusal(lambda: table([made(**given)])) == ""
    assert f"{name} must be " in "\n".join(said)
    assert "\n" not in "".join(said)


def test_everything_public_that_users_make_is_tried():
    results = {wt.Answer, wt.Ranking, wt.WinrateError}

    assert {one for name in wt.__all__ if isclass(one := getattr(wt, name))} <= results | set(
        MADE
    )


@pytest.mark.parametrize(
    ("field", "wrong", "message"),
    [
        ("name", 3, "name must be text, got 3"),
        ("name", None, "name must be text, got None"),
        ("weight", "3", "'Tub': weight must be a number, without quotes, got '3'"),
        ("weight", True, "'Tub': weight must be a number, got True"),
        ("weight", 1j, "'Tub': weight must be a number, got 1j"),
        ("apples", 3.0, "'Tub': apples must be a whole number, got 3.0"),
        ("apples", False, "'Tub': apples must be a whole number, got False"),
        ("apples", (3,), "'Tub': apples must be a whole number, got (3,)"),
        ("apples", (), "'Tub': apples must be a whole number, got ()"),
        ("eaten", 1, "'Tub': eaten must be True or False, got 1"),
        ("eaten", None, "'Tub': eaten must be True or False, got None"),
        (
            "picked",
            pd.NaT,
            "'Tub': picked must be a day such as date(2026, 1, 31) or None, got NaT",
        ),
        (
            "picked",
            "May",
            "'Tub': picked must be a day such as date(2026, 1, 31) or None, got 'M",
        ),
        ("name", pd.Timestamp(2026, 1, 9), "name must be text, got Timestamp("),
        ("worms", "Al", f"{TEXTS} 'Al'"),
        ("worms", [()], f"{TEXTS} () among them"),
        ("worms", Worm("Al", 3), f"{TEXTS} 3 among them"),
        ("worms", b"Al", f"{TEXTS} b'Al'"),
        ("worms", {"Al": 1}, f"{TEXTS} {{'Al': 1}}"),
        ("worms", {"Al"}, f"{TEXTS} {{'Al'}}"),
        ("worms", np.array("Al"), f"{TEXTS} array('Al', dt"),
        ("worms", ["Al", 3, 4], f"{TEXTS} 3 among them"),
        ("worms", pd.DataFrame({"Al": [1]}), f"{TEXTS} Al 0 1"),
        ("prices", "Al", f"{PAIRS} 'Al'"),
        ("prices", ["Al"], f"{PAIRS} 'Al' among them"),
        ("prices", [("Al",)], f"{PAIRS} ('Al',) among them"),
        ("prices", [("Al", "3")], f"{PAIRS} ('Al', '3') among them"),
        ("prices", [("Al", 3), "Bo"], f"{PAIRS} 'Bo' among them"),
    ],
)
def test_a_field_of_the_wrong_kind_is_refused(field: str, wrong: object, message: str):
    said = refusal(Basket, **{"name": "Tub"} | {field: wrong})

    assert said.startswith(message)


@pytest.mark.parametrize(
    ("field", "given", "kept"),
    [
        ("name", np.str_("Tub"), "Tub"),
        ("weight", 3, 3),
        ("weight", np.float32(0.5), 0.5),
        ("weight", np.int8(3), 3),
        ("apples", np.uint64(3), 3),
        ("eaten", np.False_, False),
        ("picked", None, None),
        ("picked", DAY, DAY),
        ("picked", dt.datetime(2026, 1, 9, 20, 30), DAY),
        ("picked", pd.Timestamp("2026-01-09"), DAY),
        ("worms", ["Al", None], ("Al", None)),
        ("worms", np.array(["Al", "Bo"]), ("Al", "Bo")),
        ("worms", pd.Series(["Al", "Bo"]), ("Al", "Bo")),
        ("worms", (name for name in ["Al"]), ("Al",)),
        ("prices", [["Al", 3]], (("Al", 3),)),
        ("prices", (["Al", 3], ("Bo", np.int64(4))), (("Al", 3), ("Bo", 4))),
    ],
)
def test_what_is_of_the_kind_is_taken_and_items_are_kept_as_a_tuple(
    field: str, given: object, kept: object
):
    basket = Basket(**{"name": "Tub"} | {field: given})

    assert getattr(basket, field) == kept
    assert hash(basket)


def test_a_refusal_is_of_the_type_asked_for_and_may_name_nobody():
    basket = Basket("Tub")
    object.__setattr__(basket, "apples", "3")

    with pytest.raises(WinrateError) as caught:
        demand_kinds(basket, WinrateError)

    assert type(caught.value) is WinrateError
    assert str(caught.value) == "apples must be a whole number, without quotes, got '3'"


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ([3, 4], [3, 4]),
        ((3.5, 4), [3.5, 4]),
        ([], []),
        ([3, None], [3, float("nan")]),
        (pd.Series([3, pd.NA], dtype="Int64"), [3, float("nan")]),
        (pd.Series([3, 4], dtype=object), [3, 4]),
        ([Decimal(3), 4], [3, 4]),
        (np.array([3, 4], dtype=np.uint8), [3, 4]),
    ],
)
def test_numbers_are_taken_as_they_come(given: object, kept: list[float]):
    column = number_column("games", given, CountError)

    assert column.tolist() == pytest.approx(kept, nan_ok=True)


def test_no_column_stays_none():
    assert number_column("games", None, CountError) is None


@pytest.mark.parametrize(
    ("wrong", "got"),
    [
        ("900", "'900'"),
        (900, "900"),
        (np.array(9), "array(9)"),
        (["900"], "'900' among them"),
        ([900, "900"], "'900' among them"),
        (np.array(["900", 3], dtype=object), "'900' among them"),
        (pd.Series(["900"]), "'900' among them"),
        ([True], "True among them"),
        (np.array([True, False]), "np.True_ among them"),
        (np.array([1, True], dtype=object), "True among them"),
        ([1, np.True_, None], "np.True_ among them"),
        ([b"9"], "b'9' among them"),
        ([b"9", None], "b'9' among them"),
        ([1, 2j], "2j among them"),
        ([DAY], "datetime.date(2026, 1, 9) among them"),
        (np.array([DAY], dtype="M8[D]"), "2026-01-09') among them"),
        ([[1, 2], [3]], "[1, 2] among them"),
        ([10**400], "got (1000"),
        ({"Ash": 3}, "{'Ash': 3}"),
        ({3}, "{3}"),
        (iter([3]), "3"),
    ],
)
def test_a_column_of_anything_but_numbers_is_refused(wrong: object, got: str):
    said = refusal(number_column, "games", wrong, CountError)

    assert said.startswith("games must be a list of numbers")
    assert got in said


@pytest.mark.parametrize(
    ("wanted", "shape", "does"),
    [
        (bool, np.bool_, True),
        (bool, int, False),
        (int, bool, False),
        (int, np.int64, True),
        (int, float, False),
        (float, int, True),
        (float, np.bool_, False),
        (dt.date, dt.date, True),
        (dt.date, pd.Timestamp, False),
        (dt.datetime, dt.datetime, True),
        (str | None, type(None), True),
        (str | None, int, False),
        (wt.PoolCard, wt.PoolCard, True),
    ],
)
def test_an_annotation_takes_its_own_kind(wanted: object, shape: type, does: bool):
    assert fits(wanted, shape) is does


@pytest.mark.parametrize("items", [[], (), iter([1]), range(3), np.array([1]), pd.Series([1])])
def test_what_stands_in_a_row_holds_items(items: object):
    assert holds_items(items)


@pytest.mark.parametrize("thing", ["ab", b"ab", {}, {1}, 3, None, np.array(3), np.eye(2)])
def test_anything_else_holds_none(thing: object):
    assert not holds_items(thing)
