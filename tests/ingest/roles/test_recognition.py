"""Which kind of table a file is."""

import csv
from pathlib import Path

import pytest

from winrate_tools.ingest.roles.kinds import ARCHETYPES, CANDIDATES, CARDS, KINDS, MATCHES, POOL
from winrate_tools.ingest.roles.recognition import other_kind, recognised, spoken, unlike

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
    assert unlike(headers.split(","), kind) == misread
