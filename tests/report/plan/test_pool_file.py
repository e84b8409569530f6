"""A pool as a file that every command reads back."""

import csv
import io
from dataclasses import replace

from tests.report.plans import EMPTY, FEWER, FULL, INTO, OUT, plan
from winrate_tools.decide.plan.moves import Swap
from winrate_tools.ingest.tables.pools import read_pool
from winrate_tools.pools import PoolCard, PoolTable
from winrate_tools.report.plan.pool_file import COLUMNS, note, pool_csv


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_the_new_pool_reads_back_as_it_is():
    found = read_pool(pool_csv(FULL).encode())

    assert [card for card in found.cards if card.copies] == list(FULL.pool.cards)


def test_cards_that_are_gone_stand_last_without_copies():
    found = rows(pool_csv(FULL))

    assert list(found[0]) == list(COLUMNS)
    assert [(row["card"], row["copies"]) for row in found[-2:]] == [
        ("'=X|y", "2"),
        ("Ash Vine", "0"),
    ]
    assert found[-1]["archetypes"] == "Kites"
    assert found[1]["protected"] == "yes"


def test_cells_of_protection_stay_as_the_pool_had_them():
    told = {"Oil Lamp": "ja", "Elm Bell": "-", "Ash Vine": "nein"}

    found = {row["card"]: row["protected"] for row in rows(pool_csv(FULL, protected=told))}

    assert found == {**told, "Fog Horn": "-", "'=X|y": "-"}


def test_cards_that_the_pool_says_nothing_of_are_protected_in_its_usual_words():
    cards = [PoolCard(name, 1, is_protected=name == "Bell") for name in ("Ash", "Elm", "Tin")]
    made = replace(
        EMPTY,
        pool=PoolTable([*cards, PoolCard("Oak", 1), PoolCard("Bell", 1, is_protected=True)]),
    )

    found = rows(pool_csv(made, protected={"Ash": "no", "Elm": "", "Tin": ""}))

    assert [row["protected"] for row in found] == ["no", "", "", "", "yes"]


def test_cells_of_protection_are_read_back():
    text = pool_csv(FULL, protected={"Oil Lamp": "X", "Elm Bell": "-"})

    assert "Elm Bell,1" in text
    assert read_pool(text.encode()).cards == read_pool(pool_csv(FULL).encode()).cards


def test_moved_cards_say_why_and_others_nothing():
    found = {row["card"]: row["why"] for row in rows(pool_csv(FULL))}

    assert found["Oil Lamp"] == ""
    assert found["Elm Bell"] == note(FEWER, FULL)
    assert found["Ash Vine"].startswith("a trap: weak, yet taken early or played a lot; hardly")
    assert found["Ash Vine"].endswith("; 19 in 20 below 49.0%")


def test_a_card_that_comes_names_whose_place_it_takes():
    assert note(INTO, FULL) == (
        "sound; helps Kites; under 1 in 20 below 49.0%; for Ash Vine, 19 in 20 to be the "
        "stronger"
    )
    assert "for Ash Vine" not in note(OUT, FULL)


def test_of_several_places_the_least_sure_one_is_told():
    swaps = (Swap("a", "Fog Horn", 1, 0.6, ()), Swap("b", "Fog Horn", 2, 0.9, ()))

    assert note(INTO, plan(INTO, swaps=swaps)).endswith(
        "; for a and b, 12 in 20 to be the stronger"
    )


def test_a_plan_without_moves_writes_the_pool():
    assert {row["why"] for row in rows(pool_csv(EMPTY))} == {""}


def test_the_new_pool_is_written_with_the_marks_of_the_old_one():
    text = pool_csv(FULL, ";", ",")

    assert text.startswith("card;copies;")
    assert ";1,25;" in text
    assert [card for card in read_pool(text.encode()).cards if card.copies] == list(
        FULL.pool.cards
    )


def test_headers_of_the_old_pool_are_kept_where_it_had_them():
    headers = {"card": "Karte", "copies": "Anzahl", "price": "=Preis"}
    text = pool_csv(FULL, ";", ",", headers)

    assert text.startswith("Karte;Anzahl;faction;rarity;role;'=Preis;protected;")
    assert read_pool(text.encode()).size == read_pool(pool_csv(FULL).encode()).size


def test_a_card_that_had_no_copies_before_is_not_listed():
    cards = (*FULL.pool.cards, replace(FULL.pool.cards[0], card="Long Gone", copies=0))
    pool = PoolTable(cards, FULL.pool.source)

    assert pool_csv(replace(FULL, pool=pool)) == pool_csv(FULL)


def test_a_swap_for_balance_says_so():
    swaps = (Swap("a", "Fog Horn", 1, 0.4, ()),)

    assert note(INTO, plan(INTO, swaps=swaps)).endswith(
        "8 in 20 to be the stronger; meant for balance, not for strength"
    )
