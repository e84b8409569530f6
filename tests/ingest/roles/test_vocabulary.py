"""Plain words for roles."""

from collections import Counter

import pytest

from winrate_tools.columns import CARD_ROLES
from winrate_tools.ingest.roles.kinds import DAY_FIRST, KINDS, MONTH_FIRST, Kind
from winrate_tools.ingest.roles.vocabulary import (
    LOOSE,
    PLAIN,
    close_role,
    loose_role,
    normalise,
    plain_role,
    role_of,
)

TOLD_ONLY = {DAY_FIRST.name, MONTH_FIRST.name}
"""Roles that share the heading of another."""


@pytest.mark.parametrize("name", CARD_ROLES)
def test_every_name_and_heading_of_the_glossary_is_understood(name: str):
    assert plain_role(name) == name
    assert plain_role(CARD_ROLES[name].heading) == name


@pytest.mark.parametrize(
    ("header", "role"),
    [
        ("Kartenname", "card"),
        ("# Games", "games"),
        ("WINS", "wins"),
        ("Win %", "win_rate"),
        ("Siege (%)", "win_rate"),
        ("victorias", "wins"),
        ("Name", "card"),
        ("Matches", "games"),
        ("Win_Rate", "win_rate"),
        ("Seltenheit", "rarity"),
        ("Games (unheld)", "unheld_games"),
        ("Opp Win %", None),
        ("Colour", None),
        ("Preis", "price"),
        ("Cost", None),
        ("Gegner", "opponent"),
        ("Anzahl", "copies"),
        ("Number", "copies"),
        ("Datum (TT.MM.JJJJ)", "day_first_date"),
        ("Date (MM/DD/YYYY)", "month_first_date"),
        ("", None),
        ("Häufigkeit", "rarity"),
        ("Schützen", "protected"),
        ("Deck des Gegners", "opponent_archetype"),
        ("Deck de l'adversaire", "opponent_archetype"),
        ("Angefangen", "first_seat"),
        ("Begonnen", "first_seat"),
        ("A commencé", "first_seat"),
        ("Höchstens", "copies"),
        ("Como máximo", "copies"),
        ("Bund", "faction"),
        ("Könnensstufe", "skill_band"),
        ("Livello di gioco", "skill_band"),
        ("Bauweise", "archetype"),
        ("Tipo di mazzo", "archetype"),
        ("Erfolgsquote", "win_rate"),
    ],
)
def test_plain_words_of_several_languages_are_understood(header: str, role: str | None):
    assert role_of(header) == role


@pytest.mark.parametrize(
    ("header", "role"),
    [("Win ratee", "win_rate"), ("Gamse", "games"), ("Archetpye", "archetype")]
    + [("Copeis", "copies"), ("Prise", "price"), ("Oponent", "opponent"), ("Plaier", "player")]
    + [(header, None) for header in ("Opp Win %", "Not held games", "Lost games", "Hue", "x")],
)
def test_misspelt_words_are_understood_and_opposites_are_not(header: str, role: str | None):
    close = close_role(header)

    assert (close and close[0]) == role


@pytest.mark.parametrize(
    ("header", "role"),
    [
        ("Mittlerer Pick", "mean_pick"),
        ("Gedraftete Kopien", "drafted"),
        ("Gespielte Kopien", "played"),
    ],
)
def test_german_words_for_drafting_are_understood(header: str, role: str):
    assert plain_role(header) == role


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_each_kind_of_table_understands_its_own_roles_and_headings(kind: Kind):
    wanted = {role: role for role in kind.roles if role not in TOLD_ONLY}

    assert {role: kind.role(plain_role(role)) for role in wanted} == wanted
    assert {role: kind.role(plain_role(kind.roles[role].heading)) for role in wanted} == wanted


@pytest.mark.parametrize("words", [PLAIN, LOOSE], ids=["plain", "loose"])
def test_no_word_stands_for_two_roles(words: dict[str, str]):
    listed = Counter(
        (normalise(word), role) for role, names in words.items() for word in names.split(", ")
    )
    times = Counter(word for word, _ in listed)

    assert {word for word, count in times.items() if count > 1} == set()
    assert max(listed.values()) == 1


def test_a_loose_word_is_no_plain_one():
    assert (plain_role("Matches"), loose_role("Matches")) == (None, "games")
    assert (plain_role("Games"), loose_role("Games")) == ("games", None)


@pytest.mark.parametrize(
    "header", ["Win %", " win_% ", "WIN\u00a0%", "Win(%)", "win%", "\uff37in \uff05"]
)
def test_headers_that_read_alike_are_equal(header: str):
    assert normalise(header) == "win %"


def test_an_apostrophe_s_is_heard_as_it_is_spoken():
    assert normalise("Players' rate") == normalise("players rate")
    assert normalise("player\u2019s rate") == "players rate"


@pytest.mark.parametrize("header", ["Bund", "Häufigkeit", "Höchstens", "Erfolge"])
def test_words_that_may_mean_something_else_are_loose(header: str):
    assert plain_role(header) is None
