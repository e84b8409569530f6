"""The files that are kept beside the code are what the code writes, to the byte."""

from pathlib import Path

import numpy as np
import pytest

import winrate_tools as wt
from winrate_tools.simulate.lantern_files import demo_files
from winrate_tools.simulate.lantern_world import lantern_fair

TOP = Path(__file__).parent.parent
SAMPLE = TOP / "sample_data"


def test_the_sample_data_are_the_demos():
    kept = {path.name: path.read_bytes() for path in SAMPLE.iterdir()}

    assert kept == demo_files(lantern_fair())


def test_the_kept_report_is_what_the_sample_data_give(tmp_path: Path):
    ranking = wt.rank(wt.read_cards(SAMPLE / "cards.csv"))
    written = wt.write_report(ranking, tmp_path / "cuts.md")

    assert (TOP / "reports" / "cuts.md").read_bytes() == written.read_bytes()


def test_the_messy_export_reads_as_the_clean_table():
    clean, messy = (wt.read_cards(SAMPLE / name) for name in ("cards.csv", "market_export.csv"))

    assert messy.card == clean.card
    assert (messy.faction, messy.rarity, messy.role) == (
        clean.faction,
        clean.rarity,
        clean.role,
    )
    for name in ("games", "wins", "mean_pick", "drafted", "played"):
        assert np.array_equal(getattr(messy, name), getattr(clean, name)), name


@pytest.mark.parametrize("column", ["games", "wins", "drafted", "played"])
def test_the_detailed_table_adds_up_to_the_totals(column: str):
    clean, detailed = (
        wt.read_cards(SAMPLE / name).totals()
        for name in ("cards.csv", "cards_by_archetype.csv")
    )

    assert detailed.card == clean.card
    assert getattr(detailed, column).tolist() == getattr(clean, column).tolist()
