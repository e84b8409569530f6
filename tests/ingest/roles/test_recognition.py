"""Which kind of table a file is."""

import csv
from pathlib import Path

import pytest

from winrate_tools.ingest.roles.kinds import (
    ARCHETYPES,
    CANDIDATES,
    CARDS,
    JOURNAL,
    KINDS,
    MATCHES,
    POOL,
)
from winrate_tools.ingest.roles.recognition import (
    is_journal,
    other_kind,
    recognised,
    recognised_rows,
    speaks_of_games,
    spoken,
    unlike,
)
from winrate_tools.journal import JOURNAL_COLUMNS

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"
SAMPLES = {
    "cards": "cards",
    "cards_by_archetype": "cards",
    "archetypes": "archetypes",
    "pool": "pool",
    "candidates": "candidates",
    "home": "matches",
}


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_is_recognised(name: str):
    with (SAMPLE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        headers = next(csv.reader(file))

    assert recognised(headers).title == SAMPLES[name]
    assert other_kind(headers, KINDS[SAMPLES[name]]) is None


@pytest.mark.parametrize(
    ("headers", "kind"),
    [
        ("Name,Count", POOL),
        ("Karte,Anzahl,Preis", POOL),
        ("Card,Copies,Games,Wins", CARDS),
        ("Card,Copies,Win %", CARDS),
        ("Card,Copies,Guess", CANDIDATES),
        ("Card,Games,Wins,Baseline", CANDIDATES),
        ("Player,Opponent", MATCHES),
        ("Player,Wins,Losses", CARDS),
        ("Deck,Games,Wins", ARCHETYPES),
        ("Name,Archetype,Games,Wins", CARDS),
        ("Card,Archetype,Games,Wins", CARDS),
        ("Name,Games,Wins", CARDS),
        ("Guess,Baseline", CARDS),
        ("a,b,c", CARDS),
        ("", CARDS),
    ],
)
def test_headers_speak_for_a_kind(headers: str, kind):
    assert recognised(headers.split(",")) is kind


def test_what_the_user_has_named_speaks_too():
    assert recognised(["a", "b"], {"card", "copies"}) is POOL
    assert recognised(["a", "b"], {"archetype", "games"}) is ARCHETYPES
    assert recognised(["Player", "b"], {"opponent"}) is MATCHES


def test_roles_of_other_kinds_are_not_spoken():
    assert spoken(["Player", "Games", "Deck", "?"], MATCHES, {"guess"}) == {
        "player",
        "archetype",
    }


@pytest.mark.parametrize(
    ("headers", "kind", "other"),
    [
        ("archetype,games,wins", CARDS, ARCHETYPES),
        ("archetype,games", CARDS, None),
        ("card,copies", CARDS, POOL),
        ("player,opponent,won", CARDS, None),
        ("player,opponent,won,lost", CARDS, MATCHES),
        ("card,games,wins", POOL, CARDS),
        ("card,copies", POOL, None),
    ],
)
def test_another_kind_is_named_only_if_nothing_of_it_is_missing(headers, kind, other):
    assert other_kind(headers.split(","), kind) is other


@pytest.mark.parametrize(
    ("headers", "kind", "misread"),
    [
        ("player,opponent,won,lost,cards", CARDS, True),
        ("card,games,wins,guess", CARDS, True),
        ("card,copies,guess", POOL, True),
        ("card,copies,games,wins", POOL, False),
        ("archetype,games,wins", CARDS, False),
        ("card,games,wins,guess", CANDIDATES, False),
    ],
)
def test_a_table_is_misread_only_as_what_it_is_not(headers, kind, misread: bool):
    assert unlike(headers.split(","), [], kind) == misread


@pytest.mark.parametrize(
    ("headers", "kind", "misread"),
    [
        ("card,archetype,games,wins", ARCHETYPES, True),
        ("card,archetype,games", ARCHETYPES, False),
        ("name,archetype,games,wins", ARCHETYPES, False),
        ("card,theme,games,wins", ARCHETYPES, False),
        ("card,archetype,games,wins", POOL, False),
        ("card,archetype,games,wins", CARDS, False),
    ],
)
def test_cards_that_share_their_archetypes_are_misread_as_decks(headers, kind, misread: bool):
    shared = [["Ash", "Kites", "9", "4"], ["Tin", "Kites", "8", "5"]]
    apart = [["Ash; Tin", "Kites", "9", "4"], ["Tin; Oar", "Moths", "8", "5"]]

    assert unlike(headers.split(","), shared, kind) == misread
    assert not unlike(headers.split(","), apart, kind)


MANY = ",".join(f"Card {n}" for n in range(10))


@pytest.mark.parametrize(
    ("headers", "is_log"),
    [
        ("game,won,cards", True),
        ("won,cards", True),
        ("game,archetype,won,card,held", True),
        ("Spiel,Sieg,Karte", True),
        (f"game,won,{MANY}", True),
        (f"game,won,{MANY[:-7]}", False),
        (f"game,{MANY}", False),
        (f"won,{MANY}", False),
        ("won,card", False),
        ("card,games,wins", False),
        ("card,games,won,cards", False),
        (f"Name,Games,Win,{MANY}", False),
        ("player,opponent,won,lost,cards", False),
        ("player,opponent,won,cards", False),
        ("game,cards", False),
    ],
)
def test_a_log_is_told_from_tables(headers: str, is_log: bool):
    assert speaks_of_games(headers.split(",")) == is_log


def test_an_archetype_beside_what_only_cards_have_speaks_for_cards():
    assert recognised(["Picture", "Archetype", "Rarity"]) is CARDS
    assert recognised(["Picture", "Archetype", "Faction"]) is ARCHETYPES


def test_rows_that_repeat_an_archetype_list_something_else():
    headers = ["Picture", "Archetype", "Skill band", "x"]
    bands = [("Kites", "new"), ("Kites", "old"), ("Moths", "new")]
    once = [["p", *band, "1"] for band in bands]
    cards = [[picture, *band, "1"] for band in bands for picture in "pq"]

    assert recognised_rows(headers, once) is ARCHETYPES
    assert recognised_rows(headers, cards) is CARDS
    assert recognised_rows(headers, cards, {"archetype"}) is ARCHETYPES


def test_rows_of_a_pool_may_repeat_what_they_like():
    assert recognised_rows(["Card", "Copies"], [["A", "1"], ["A", "1"]]) is POOL


def test_a_journal_is_known_by_its_headers_and_is_no_kind_of_table():
    headers = [*JOURNAL_COLUMNS]

    assert is_journal(headers)
    assert is_journal(headers[:6][::-1])
    assert not is_journal(headers[:5])
    assert other_kind(headers, CARDS) is JOURNAL
    assert JOURNAL not in KINDS.values()


GUESSED = [["Ash", "2", "comme"], ["Tin", "1", "moins forte"]]
"""Two cards, a number, and a guess each."""


@pytest.mark.parametrize(
    ("headers", "kind"),
    [
        ("Carte,Exemplaires,Avis", CANDIDATES),
        ("Carte,?,", CANDIDATES),
        ("Carte,Parties,Avis", CARDS),
        ("Carte,Exemplaires,Archetype", POOL),
        ("?,Exemplaires,Avis", CARDS),
    ],
)
def test_cards_with_guesses_and_without_a_record_are_candidates(headers: str, kind):
    assert recognised_rows(headers.split(","), GUESSED) is kind


def test_what_the_user_has_named_makes_no_candidates_of_a_table_with_a_record():
    assert recognised_rows(["Carte", "n", "Avis"], GUESSED, {"games"}) is CARDS
