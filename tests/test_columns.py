"""The glossary of columns."""

from dataclasses import fields
from typing import get_args

import pytest

from winrate_tools.columns import (
    ARCHETYPE_COLUMNS,
    ARCHETYPE_ROLES,
    CANDIDATE_ROLES,
    CARD_ROLES,
    MATCH_ROLES,
    POOL_ROLES,
    RANKING_COLUMNS,
    Column,
    Kind,
)
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypeVerdict
from winrate_tools.decide.cards.verdicts import CardVerdict
from winrate_tools.matches import Match
from winrate_tools.pools import PoolCard
from winrate_tools.tables import ATTRIBUTES, COUNTS, LABELS, NUMBERS, ArchetypeTable, CardTable

COLUMNS = {
    **ARCHETYPE_ROLES,
    **ARCHETYPE_COLUMNS,
    **CARD_ROLES,
    **RANKING_COLUMNS,
    **CANDIDATE_ROLES,
    **MATCH_ROLES,
}
ROLES = [CARD_ROLES, ARCHETYPE_ROLES, POOL_ROLES, CANDIDATE_ROLES, MATCH_ROLES]
GLOSSARIES = [*ROLES, RANKING_COLUMNS, ARCHETYPE_COLUMNS]
KIND_OF_TABLE_COLUMN = {
    **dict.fromkeys(COUNTS, "count"),
    **dict.fromkeys(LABELS, "label"),
    "card": "name",
    "mean_pick": "number",
    "player_rate": "rate",
}


@pytest.mark.parametrize("name", COLUMNS)
def test_a_column_is_filed_under_its_own_name(name: str):
    assert COLUMNS[name].name == name
    assert name == name.lower()
    assert name.isidentifier()


@pytest.mark.parametrize("name", COLUMNS)
def test_every_column_has_a_known_kind_a_heading_and_a_sentence(name: str):
    column = COLUMNS[name]

    assert column.kind in get_args(Kind)
    assert column.heading[0].isupper()
    assert column.meaning.endswith(".")
    assert len(column.meaning.split()) > 1


@pytest.mark.parametrize("glossary", GLOSSARIES)
def test_no_two_columns_share_a_heading(glossary: dict[str, Column]):
    headings = [column.heading for column in glossary.values()]

    assert len(set(headings)) == len(headings) > 5


@pytest.mark.parametrize("name", sorted(CARD_ROLES.keys() & RANKING_COLUMNS.keys()))
def test_a_column_means_the_same_coming_in_and_going_out(name: str):
    assert RANKING_COLUMNS[name] is CARD_ROLES[name]


def test_every_column_of_a_card_table_can_be_read():
    columns = {field.name for field in fields(CardTable)} - {"source"}

    assert columns | {"win_rate"} == set(CARD_ROLES)


def test_every_column_of_an_archetype_table_can_be_read():
    columns = {field.name for field in fields(ArchetypeTable)} - {"source"}

    assert columns | {"win_rate"} == set(ARCHETYPE_ROLES)


@pytest.mark.parametrize("roles", ROLES)
def test_a_role_means_the_same_in_every_table(roles: dict[str, Column]):
    shared = [name for name in roles if name in CARD_ROLES]

    assert shared
    assert all(roles[name] is CARD_ROLES[name] for name in shared)


def test_candidates_have_the_columns_of_a_pool_and_more():
    assert POOL_ROLES.items() <= CANDIDATE_ROLES.items()
    assert CANDIDATE_ROLES.keys() - POOL_ROLES.keys() >= {"games", "baseline", "guess"}


@pytest.mark.parametrize(
    ("row", "roles", "other_names"),
    [
        (PoolCard, POOL_ROLES, {"protected": "is_protected"}),
        (Match, MATCH_ROLES, {"first_seat": "had_first_seat"}),
    ],
)
def test_every_role_has_a_field_to_go_to(row, roles, other_names):
    names = {field.name for field in fields(row)}

    assert {other_names.get(role, role) for role in roles} <= names


def test_every_column_about_archetypes_stands_in_a_verdict():
    assert ARCHETYPE_COLUMNS.keys() <= {field.name for field in fields(ArchetypeVerdict)}


@pytest.mark.parametrize("name", ["card", *NUMBERS, *LABELS])
def test_a_table_checks_each_column_as_its_kind(name: str):
    assert CARD_ROLES[name].kind == KIND_OF_TABLE_COLUMN[name]


def test_every_column_of_a_ranking_stands_in_a_verdict():
    assert RANKING_COLUMNS.keys() <= {field.name for field in fields(CardVerdict)}


def test_a_ranking_keeps_what_was_said_about_the_card():
    assert {"card", *ATTRIBUTES} <= RANKING_COLUMNS.keys()


def test_a_column_cannot_be_changed():
    with pytest.raises(AttributeError):
        CARD_ROLES["games"].meaning = "Anything."
