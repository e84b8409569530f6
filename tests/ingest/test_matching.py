"""The same name in two tables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.errors import TableError
from winrate_tools.ingest.matching import flattened, matched, nearest

KNOWN = ["Floating Flowers", "River Lights", "Kites"]


def test_names_agree_but_for_case_and_blanks():
    found = matched(["floating  flowers", "KITES ", "Kites"], KNOWN, "archetype", where="decks")

    assert found == {
        "floating  flowers": "Floating Flowers",
        "KITES ": "Kites",
        "Kites": "Kites",
    }


@given(st.lists(st.text(min_size=1), unique_by=lambda name: " ".join(name.split()).casefold()))
def test_every_name_is_found_among_its_own(names: list[str]):
    assert set(matched(names, names, "card", where="cards.csv")) == set(names)


def test_every_name_that_is_not_there_is_told_with_its_place_and_a_near_one():
    with pytest.raises(TableError) as caught:
        matched(
            ["Kites", "Flooting Flowers", "Umbrellas", "Flooting Flowers"],
            KNOWN,
            "archetype",
            where="decks.csv",
            places=["home.csv:2", "home.csv:3", "home.csv:4", "home.csv:5"],
        )

    assert str(caught.value) == (
        "decks.csv: 2 archetypes are not there; first: no archetype 'Flooting Flowers', "
        "did you mean 'Floating Flowers'?"
    )
    assert [(one.place, one.message) for one in caught.value.problems] == [
        ("home.csv:3", "no archetype 'Flooting Flowers', did you mean 'Floating Flowers'?"),
        ("home.csv:4", "no archetype 'Umbrellas'"),
    ]
    assert all("mend one of the two tables" in one.fix for one in caught.value.problems)


def test_without_places_the_other_table_is_named():
    with pytest.raises(TableError, match=r"^decks\.csv: no archetype 'Umbrellas'$") as caught:
        matched(["Umbrellas"], KNOWN, "archetype", where="decks.csv")

    assert caught.value.problems[0].place == "decks.csv"


def test_strangers_may_be_let_pass_and_misspelt_names_not():
    assert matched(["Kites", "Umbrellas"], KNOWN, "card", where="x", strangers=True) == {
        "Kites": "Kites"
    }
    with pytest.raises(TableError, match="did you mean 'River Lights'"):
        matched(["River Light"], KNOWN, "card", where="x", strangers=True)


def test_no_names_are_all_there():
    assert matched([], KNOWN, "card", where="x") == {}


@pytest.mark.parametrize(
    ("name", "near"),
    [("kits", "Kites"), ("Umbrellas", None), ("river  LIGTHS", "River Lights")],
)
def test_the_nearest_name_is_near(name: str, near: str | None):
    assert nearest(name, KNOWN) == near


def test_lists_are_laid_out_with_the_place_of_each_name():
    names, places = flattened([("Kites", "Moths"), (), ("Kites", None)], ["a:2", "a:3", "a:4"])

    assert names == ["Kites", "Moths", "Kites"]
    assert places == ["a:2", "a:2", "a:4"]
    assert flattened([("Kites",)], ()) == (["Kites"], [])
