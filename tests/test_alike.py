"""When two names are one."""

import pytest

from winrate_tools.alike import folded


@pytest.mark.parametrize("name", ["ash vine", " ASH  Vine", "Ash\tVine ", "Ash\u00a0Vine"])
def test_case_and_blanks_do_not_part_names(name: str):
    assert folded(name) == folded("Ash Vine")


def test_two_ways_to_write_an_accent_are_one():
    assert folded("Caf\u00e9") == folded("CAFE\u0301")


def test_folding_joins_case_blanks_and_composed_accents():
    assert folded("  STRASSE  e\u0301 ") == folded("Stra\u00dfe \u00c9")
    assert folded("Ash Vine") != folded("Ashvine")


@pytest.mark.parametrize(("one", "other"), [("Straße", "STRASSE"), (" a \t b", "A b")])
def test_folding_takes_away_what_spellings_differ_by(one, other):
    assert folded(one) == folded(other)
