"""Unused columns that may hold what no column was found for."""

import pytest

from tests.ingest.sheets import sheet
from winrate_tools.ingest.roles.kinds import CARDS, MATCHES, POOL
from winrate_tools.ingest.roles.overlooked import overlooked
from winrate_tools.ingest.tables.pools import inspect_pool

LINES = (
    "Card,Copies,House,Fixed",
    "Ash,3,Wick,no",
    "Bee,1,Wick,yes",
    "Elk,1,Reed,no",
    "Fox,1,Reed,no",
)
FOUND = {"card": 1, "copies": 2}


def test_labels_without_a_column_are_told_with_what_is_unused():
    (said,) = overlooked(sheet(*LINES, kind=POOL), FOUND)

    assert said == (
        "no column was found for faction, rarity, role, protected; unused: House, Fixed. "
        "If one of them is meant, say so, for example: "
        '--map faction="House" --map protected="Fixed"'
    )


def test_what_has_a_column_is_not_missed():
    (said,) = overlooked(sheet(*LINES, kind=POOL), {**FOUND, "protected": 4})

    assert said.startswith("no column was found for faction, rarity, role; unused: House. ")
    assert said.endswith('example: --map faction="House"')


@pytest.mark.parametrize(
    ("lines", "where"),
    [
        (LINES, {**FOUND, "faction": 3, "protected": 4}),
        (("Card,Copies,Note", "Ash,1,a", "Bee,1,b", "Elk,1,c", "Fox,1,c"), FOUND),
        (("Card,Copies,Set", "Ash,1,a", "Bee,1,a"), FOUND),
        (("Card,Copies,Year", "Ash,1,1999", "Bee,1,2000", "Elk,1,1999", "Fox,1,2000"), FOUND),
    ],
)
def test_nothing_is_said_where_no_column_of_labels_is_unused(lines, where):
    assert list(overlooked(sheet(*lines, kind=POOL), where)) == []


def test_yes_and_no_are_no_label_of_a_table_of_cards():
    lines = ("Card,Games,Fixed", "Ash,3,no", "Bee,1,yes", "Elk,1,no", "Fox,1,no")

    assert list(overlooked(sheet(*lines, kind=CARDS), {"card": 1, "games": 2})) == []


def test_yes_and_no_of_matches_may_be_the_first_seat():
    lines = ("P,O,Score,Start", "A,B,2-1,no", "A,C,2-1,yes", "B,C,2-0,no", "A,C,2-0,yes")
    where = {"player": 1, "opponent": 2, "score": 3, "archetype": 0, "opponent_archetype": 0}

    (said,) = overlooked(sheet(*lines, kind=MATCHES), where)
    assert said.endswith('--map first_seat="Start"')


def test_the_inspection_of_a_pool_holds_the_hint():
    seen = inspect_pool("\n".join(LINES).encode())

    assert seen.table is not None
    assert '--map protected="Fixed"' in seen.hints[0]


def of_cards(headers: str, *rows: str) -> list[str]:
    lines = (f"{name},9,4,{row}" for name, row in zip("ABCD", rows, strict=True))
    seen = sheet(f"Card,Games,Wins,{headers}", *lines, kind=CARDS)
    return list(overlooked(seen, {"card": 1, "games": 2, "wins": 3}))


def test_numbers_that_may_tell_of_use_are_offered_where_nothing_tells_of_it():
    (said,) = of_cards("Tour,Pris,Mis", "2.5,40,30", "7.25,20,", "4,35,35", "3.5,10,0")

    assert said == (
        "no column was found for mean pick, drafted, played; unused columns of numbers: Tour, "
        'Pris, Mis. If some of them are meant, say so, perhaps: --map mean_pick="Tour" '
        '--map drafted="Pris" --map played="Mis"'
    )


def test_the_greater_counts_are_those_drafted_wherever_they_stand():
    (said,) = of_cards("Mis,Pris", "30,40", "5,20", "35,35", "0,10")

    assert said.endswith('perhaps: --map drafted="Pris" --map played="Mis"')


@pytest.mark.parametrize(
    ("headers", "rows"),
    [
        ("No", ("1", "2", "3", "4")),
        ("Share", ("0.5", "0.25", "0.75", "0.5")),
        ("Rate", ("50%", "5.5%", "7%", "9%")),
        ("Delta", ("-1.5", "2.5", "3.5", "4")),
        ("Count", ("4", "9", "3", "2")),
        ("No,Count", ("1,9", "2,9", "3,12", "4,9")),
        ("a,b", ("-1,4", "2,9", "3,3", "2,5")),
        ("a,b", ("4,5", "9,2", "3,3", "2,2")),
        ("Word", ("w", "x", "y", "z")),
    ],
)
def test_numbers_that_cannot_tell_of_use_are_not_offered(headers: str, rows: tuple[str, ...]):
    assert of_cards(headers, *rows) == []


@pytest.mark.parametrize("role", ["mean_pick", "drafted", "played"])
def test_where_one_column_tells_of_use_no_more_are_asked_for(role: str):
    seen = sheet("Card,Games,x,y", "A,9,2.5,3.5", "B,8,7,1.5", kind=CARDS)

    assert list(overlooked(seen, {"card": 1, "games": 2, role: 3})) == []


def test_a_pool_is_not_asked_for_use():
    seen = sheet("Card,Copies,x", "A,9,2.5", "B,8,7", kind=POOL)

    assert list(overlooked(seen, {"card": 1, "copies": 2})) == []
