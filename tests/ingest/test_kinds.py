"""Kinds of tables."""

import pytest

from winrate_tools.columns import ARCHETYPE_ROLES, CARD_ROLES
from winrate_tools.ingest.kinds import ARCHETYPES, CARDS
from winrate_tools.tables import LABELS


def test_a_kind_reads_what_its_table_can_hold_and_losses():
    assert set(CARDS.roles) == {*CARD_ROLES, "losses"}
    assert set(ARCHETYPES.roles) == {*ARCHETYPE_ROLES, "losses"}


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
