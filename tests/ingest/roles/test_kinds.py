"""Kinds of tables."""

import pytest

from winrate_tools.columns import (
    ARCHETYPE_ROLES,
    CANDIDATE_ROLES,
    CARD_ROLES,
    MATCH_ROLES,
    POOL_ROLES,
)
from winrate_tools.ingest.roles.kinds import (
    ARCHETYPES,
    CANDIDATES,
    CARDS,
    KINDS,
    MATCHES,
    POOL,
    Kind,
)
from winrate_tools.tables import LABELS


def test_a_kind_reads_what_its_table_can_hold_and_losses():
    assert set(CARDS.roles) == {*CARD_ROLES, "losses"}
    assert set(ARCHETYPES.roles) == {*ARCHETYPE_ROLES, "losses"}
    assert set(POOL.roles) == set(POOL_ROLES)
    assert set(CANDIDATES.roles) == {*CANDIDATE_ROLES, "losses"}
    told = {"score", "day_first_date", "month_first_date"}
    assert set(MATCHES.roles) == {*MATCH_ROLES, *told}


def test_labels_are_strata_or_attributes():
    assert (*CARDS.strata, *CARDS.attributes) == LABELS
    assert {*ARCHETYPES.strata, *ARCHETYPES.attributes} <= ARCHETYPES.roles.keys()


@pytest.mark.parametrize("role", [*CARD_ROLES, "losses"])
def test_among_cards_a_word_means_what_it_says(role: str):
    assert CARDS.role(role) == CARDS.loose_role(role) == role


@pytest.mark.parametrize(
    ("named", "plain", "loose"),
    [
        ("archetype", "archetype", "archetype"),
        ("card", None, "archetype"),
        ("faction", "factions", "factions"),
        ("games", "games", "games"),
        ("rarity", None, None),
        (None, None, None),
    ],
)
def test_among_archetypes_words_of_cards_have_their_own_meaning(named, plain, loose):
    assert ARCHETYPES.role(named) == plain
    assert ARCHETYPES.loose_role(named) == loose


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_the_roles_that_a_kind_speaks_of_are_its_own(kind: Kind):
    spoken = {kind.name, *kind.strata, *kind.attributes, *kind.needed, *kind.words.values()}

    assert spoken <= kind.roles.keys()
    assert kind.instead.keys() <= kind.roles.keys()
    assert KINDS[kind.title] is kind


@pytest.mark.parametrize(
    ("kind", "found", "missing"),
    [
        (CARDS, "card games wins", []),
        (CARDS, "card wins losses", []),
        (CARDS, "card win_rate losses", ["games"]),
        (CARDS, "games", ["card", "wins"]),
        (CARDS, "wins losses", ["card"]),
        (POOL, "card", ["copies"]),
        (POOL, "card copies", []),
        (CANDIDATES, "card", ["games", "wins"]),
        (CANDIDATES, "card guess", []),
        (CANDIDATES, "card guess wins", ["games"]),
        (CANDIDATES, "card guess games", ["wins"]),
        (CANDIDATES, "card games win_rate", []),
        (MATCHES, "player games_won", ["opponent", "games_lost"]),
        (MATCHES, "player opponent games_won games_lost", []),
        (MATCHES, "player opponent score", []),
        (MATCHES, "score", ["player", "opponent"]),
    ],
)
def test_a_kind_knows_what_it_cannot_do_without(kind: Kind, found: str, missing: list[str]):
    assert kind.missing(found.split()) == missing


@pytest.mark.parametrize(
    ("named", "role"), [("wins", "games_won"), ("losses", "games_lost"), ("card", "cards")]
)
def test_among_matches_words_of_cards_have_their_own_meaning(named: str, role: str):
    assert MATCHES.role(named) == role
    assert MATCHES.role("games") is None
    assert MATCHES.loose_role("card") == "player"
