"""The files that are kept beside the code are what the code writes, to the byte."""

import csv
import re
from pathlib import Path

import numpy as np
import pytest

import winrate_tools as wt
from winrate_tools.simulate.lantern_files import demo_files
from winrate_tools.simulate.lantern_world import lantern_fair

TOP = Path(__file__).parent.parent
SAMPLE, REPORTS = TOP / "sample_data", TOP / "reports"


def test_the_sample_data_are_the_demos():
    kept = {path.name: path.read_bytes() for path in SAMPLE.iterdir()}

    assert kept == demo_files(lantern_fair())


@pytest.mark.parametrize(
    ("report", "cards", "decks", "forms"),
    [
        ("cuts", "cards.csv", None, [".md"]),
        ("cuts_by_archetype", "cards_by_archetype.csv", "archetypes.csv", [".md", ".html"]),
    ],
)
def test_the_kept_reports_are_what_the_sample_data_give(
    tmp_path: Path, report: str, cards: str, decks: str | None, forms: list[str]
):
    table = wt.read_cards(SAMPLE / cards)
    whole = None if decks is None else wt.read_archetypes(SAMPLE / decks)
    ranking = wt.rank(table, archetypes=whole)
    for form in forms:
        wt.write_report(ranking, tmp_path / f"{report}{form}")

    written = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    kept = {path.name: path.read_bytes() for path in REPORTS.glob(f"{report}.*")}
    assert len(kept) >= 5
    assert kept == written


def test_the_detailed_report_tells_the_story_that_was_built_in():
    said = (REPORTS / "cuts_by_archetype.md").read_text()
    summary, cuts = said.split("\n## ")[1:3]
    traps = said.split("\n## Traps")[1].split("\n## ")[0]
    misjudged = said.split("\n## May only look weak")[1].split("\n## ")[0]
    depends = said.split("\n## Depends on who and where")[1].split("\n## ")[0]
    with (SAMPLE / "truth.csv").open(encoding="utf-8", newline="") as file:
        truth = {row["card"]: row for row in csv.DictReader(file)}

    def named(part: str) -> list[str]:
        return [card for card in truth if f"\n| {card} |" in part]

    own = [float(truth[card]["own_effect_points"]) for card in named(cuts)]
    assert "underpowered: Floating Flowers; overpowered: Smoke & Mirrors" in summary.replace(
        "\\&", "&"
    )
    assert len(own) > 15
    assert max(own) < -2
    assert sum(truth[card]["is_trap"] == "yes" for card in named(traps)) >= 6
    assert sum(truth[card]["carried"] == "down" for card in named(misjudged)) >= 10
    assert {card for card in truth if truth[card]["narrow"] == "yes"} <= set(named(depends))
    assert {card for card in truth if truth[card]["newcomer_trap"] == "yes"} & set(
        named(depends)
    )


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


def test_the_readme_of_the_reports_names_each_and_links_to_nothing_else():
    links = re.findall(r"\]\(([^)]+)\)", (REPORTS / "README.md").read_text(encoding="utf-8"))
    linked = [(REPORTS / link).resolve() for link in links]

    assert [path for path in linked if not path.exists()] == []
    kept = {path for path in REPORTS.iterdir() if path.name.startswith("cuts_by_archetype.")}
    assert kept | {REPORTS / "cuts.md"} <= set(linked)
