"""Unused columns of text that tell repeated rows apart."""

import pytest

from tests.ingest.sheets import sheet
from winrate_tools.ingest.roles.apart import apart_words, columns_apart
from winrate_tools.ingest.roles.kinds import ARCHETYPES, POOL, Kind

ROWS = [
    f"Card {n},{league},{style},{'a' if n % 2 else 'b'},5"
    for n in range(6)
    for style in ("Kites", "Moths", "Bells")
    for league in ("low", "high")
]
LINES = ("name,league,style,clan,games", *ROWS)


def apart(*lines: str, where: dict[str, int] | None = None, **options: Kind) -> dict[str, int]:
    seen = sheet(*lines, **options)
    return columns_apart(seen, seen.grid.column(1), {"card": 1, **(where or {})})


def test_two_columns_are_found_the_finer_one_first():
    assert apart(*LINES) == {"archetype": 3, "skill_band": 2}


def test_one_column_is_enough_where_it_tells_all_apart():
    assert apart("name,x,y", "A,p,q", "A,r,q", "B,p,q", "B,r,s", "C,p,s") == {"archetype": 2}


def test_a_stratum_that_is_known_is_not_looked_for():
    seen = sheet(*LINES)
    keys = list(zip(seen.grid.column(1), seen.grid.column(3), strict=True))

    assert columns_apart(seen, keys, {"card": 1, "archetype": 3}) == {"skill_band": 2}


@pytest.mark.parametrize(
    "lines",
    [
        ("name,x", "A,p", "B,q"),
        ("name,x", "A,p", "A,p", "B,q"),
        ("name,x", "A,1", "A,2", "B,3"),
        ("name,note", "A,p", "A,q", "B,r"),
    ],
)
def test_nothing_is_found_where_nothing_tells_apart(lines: tuple[str, ...]):
    assert apart(*lines) == {}


def test_a_kind_without_strata_has_none():
    assert apart(*LINES, kind=POOL) == {}


def test_a_kind_with_one_stratum_gets_one():
    rows = ("name,x,y", "A,p,q", "A,r,q", "B,p,q", "B,r,q", "C,p,q")

    assert apart(*rows, kind=ARCHETYPES) == {"skill_band": 2}


def test_a_rare_repeat_may_stay_one():
    many = [f"Card {n},{x}" for n in range(101) for x in ("p", "q")]

    assert apart("name,x", *many, "Card 1,p") == {"archetype": 2}
    assert apart("name,x", *many[:100], "Card 1,p") == {}


def test_the_words_name_one_column_or_both():
    seen = sheet(*LINES)

    assert apart_words(seen, {"archetype": 3, "skill_band": 2}, ["card"]) == (
        "style and league together tell the rows apart"
    )
    assert apart_words(seen, {"skill_band": 2}, ["card", "archetype"]) == (
        "league tells the rows apart"
    )
    assert apart_words(seen, {"archetype": 3}, ["card"]) == (
        "style tells the rows apart, as archetype or skill_band"
    )
