"""What limits the verdicts on archetypes, in sentences."""

from typing import get_args

import pytest

from tests.report.archetype_pools import judged, pooled
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypeCaution
from winrate_tools.report.archetypes.archetype_cautions import CAUTIONS, cautions


def test_every_caution_has_words():
    assert set(CAUTIONS) == set(get_args(ArchetypeCaution))


@pytest.mark.parametrize("caution", get_args(ArchetypeCaution))
def test_every_caution_is_a_sentence(caution):
    (said,) = cautions(pooled(judged("Any", 0.55), counted=9.0, warnings=(caution,)))

    assert said[0].isupper()
    assert said.endswith(".")


@pytest.mark.parametrize(
    ("measure", "usual"), [("held", "9"), ("opening", "4"), ("deck", "22")]
)
def test_tables_that_do_not_fit_are_told_what_would(measure, usual):
    pool = pooled(judged("Any", 0.55), measure=measure, warnings=("other games",))

    (said,) = cautions(pool)

    assert f"of which each should have about {usual};" in said
    assert said.endswith("Take both tables from the same days.")


def test_limits_stand_in_their_order():
    both = pooled(judged("Any", 0.55), warnings=("unmatched", "unlabelled"))

    first, second = cautions(both)

    assert "do not name the same archetypes" in first
    assert "have no archetype" in second
