"""Plain words of a log."""

import pytest

from winrate_tools.ingest.logs.log_words import (
    HEADERS,
    LOG_ROLES,
    NEITHER,
    NO,
    YES,
    log_role,
    yes_or_no,
)


def test_every_role_has_words_and_its_own_name_among_them():
    assert set(HEADERS) == set(LOG_ROLES)
    assert {log_role(role) for role in LOG_ROLES} == set(LOG_ROLES)


def test_no_word_says_two_things():
    words = [word for said in HEADERS.values() for word in said.split(", ")]

    assert len(words) == len(set(words))
    assert not YES & NO
    assert not (YES | NO) & NEITHER


@pytest.mark.parametrize(
    ("cell", "says"), [("Won ", True), ("0", False), (" ", None), ("TRUE", True)]
)
def test_an_outcome_is_read_whatever_its_case(cell, says):
    assert yes_or_no(cell) is says


@pytest.mark.parametrize("cell", ["2", "maybe", "10"])
def test_what_says_neither_is_refused(cell):
    with pytest.raises(ValueError, match=f"got '{cell}'"):
        yes_or_no(cell)
