"""Verdicts on archetypes as plain values."""

from dataclasses import FrozenInstanceError, fields

import pytest

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypeVerdict, CardPull

UNKNOWN = dict.fromkeys(field.name for field in fields(ArchetypeVerdict))


@pytest.mark.parametrize(
    ("below", "above", "between"), [(0.2, 0.1, 0.7), (0.6, 0.4, 0.0), (0.7, 0.3 + 1e-12, 0.0)]
)
def test_three_chances_make_one(below: float, above: float, between: float):
    one = ArchetypeVerdict(**{**UNKNOWN, "chance_below": below, "chance_above": above})

    assert one.chance_between == pytest.approx(between)
    assert one.chance_between >= 0


def test_a_pull_cannot_be_changed():
    with pytest.raises(FrozenInstanceError):
        CardPull("Ash", -0.01, -0.03, 0.01, 0.9).pull = 0.0
