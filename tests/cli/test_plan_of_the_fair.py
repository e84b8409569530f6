"""From verdicts to a plan, a new pool, packs and a change sheet, on the sample data."""

import csv
import json
from collections import Counter
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parent.parent.parent / "sample_data"
BUDGET = 40.0


def rows(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(path.read_text("utf-8").splitlines()))


@pytest.fixture
def plan(run, folder):
    """The plan as a program reads it; the new pool stands in new_pool.csv."""
    (folder / "few.toml").write_text("[goals]\nresolves = 6\n", "utf-8")
    result = run(
        *("plan", SAMPLE / "cards_by_archetype.csv", "--archetypes", SAMPLE / "archetypes.csv"),
        *("--pool", SAMPLE / "pool.csv", "--candidates", SAMPLE / "candidates.csv"),
        *("--config", "few.toml", "--budget", BUDGET, "--json", "--new-pool", "new_pool.csv"),
    )

    assert result.exit_code == 0
    return json.loads(result.stdout)


def truths() -> dict[str, float]:
    names = ("truth.csv", "truth_candidates.csv")
    return {
        row["card"]: float(row["own_effect_points"])
        for name in names
        for row in rows(SAMPLE / name)
    }


def counts(pool: list[dict[str, str]], label: str) -> Counter[str]:
    found: Counter[str] = Counter()
    for row in pool:
        found[row[label]] += int(row["copies"])
    return found


def test_the_plan_does_what_it_was_asked_for_and_its_files_read_on(run, folder, plan):
    old, new = rows(SAMPLE / "pool.csv"), rows(folder / "new_pool.csv")
    change = {one["archetype"]: one["change"] for one in plan["outcomes"]}

    assert change["Floating Flowers"] > 0.003
    assert change["Smoke & Mirrors"] < 0
    assert 0 < plan["cost"] <= BUDGET
    assert counts(new, "faction") == counts(old, "faction")
    assert +counts(new, "rarity") == counts(old, "rarity")
    assert plan["floor"]["after"] < plan["floor"]["before"] - 8

    true = truths()
    weak = [
        sum(int(row["copies"]) * max(-2 - true[row["card"]], 0) for row in pool)
        for pool in (old, new)
    ]
    assert weak[1] < 0.85 * weak[0]

    packs = run("packs", "--pool", "new_pool.csv", "--seats", 8, "--json")
    sheet = run("changes", SAMPLE / "pool.csv", "new_pool.csv", "-o", "changes.md")
    assert packs.exit_code == 0
    assert sheet.exit_code == 0
    said = (folder / "changes.md").read_text("utf-8")
    assert "## Out" in said
    assert "a trap: weak, yet taken early or played a lot" in said
    assert "helps Floating Flowers" in said
