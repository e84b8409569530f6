"""The sheet for the table."""

import csv
import io
import json

from winrate_tools.decide.plan.changes import changes_between
from winrate_tools.pools import PoolCard, PoolTable
from winrate_tools.report.forms import markdown
from winrate_tools.report.plan.changes_section import (
    ARCHETYPES,
    COLUMNS,
    FEW_NAMED,
    changes_csv,
    changes_json,
    changes_report,
)
from winrate_tools.tables import Source

OLD = PoolTable(
    [
        PoolCard("Ash Vine", 3, "Cog", "common", "tool", archetypes=("Kites", "Moths")),
        PoolCard("Elm Bell", 2),
        PoolCard("Tin Moth", 1, archetypes=("Moths",)),
        PoolCard("Oil Lamp", 1),
    ]
)
NEW = PoolTable(
    [
        PoolCard("Elm Bell", 1),
        PoolCard("Tin Moth", 2, archetypes=("Moths",)),
        PoolCard("Oil Lamp", 1),
        PoolCard("a|b", 2, "Cog", "rare", "guest", archetypes=("Kites",)),
    ]
)
FOUND = changes_between(OLD, NEW, {"a|b": "sound", "Ash Vine": "weak"})


def text(found=FOUND) -> str:
    return markdown.render(changes_report(found, "pool.csv", "new.csv"))


def test_the_sheet_counts_and_lists_what_changed():
    assert text().startswith("# Changes from pool.csv to new.csv\n")
    assert (
        "1 card out, 1 in, 1 with more copies, 1 with fewer; 1 stay as they are. Copies "
        "counted, the pool has 6 cards after 7." in text()
    )
    assert [line for line in text().splitlines() if line.startswith("## ")] == [
        *("## Out", "## In", "## More copies", "## Fewer copies"),
        "## What the archetypes hold now",
    ]


def test_reasons_stand_where_somebody_wrote_them():
    assert "| Ash Vine | 3 to 0 | Cog | common | tool | weak |" in text()
    assert "| a\\|b | 0 to 2 | Cog | rare | guest | sound |" in text()
    assert "| Elm Bell | 2 to 1 |  |  |  |\n" in text() + "\n"


def test_archetypes_say_what_they_hold_and_what_is_new():
    assert (
        "- **Kites**: 2 cards, copies counted, 3 before; most of them: 2 guest; new: a\\|b; "
        "gone: Ash Vine." in text()
    )
    assert "- **Moths**: 2 cards, copies counted, 4 before; gone: Ash Vine." in text()


def test_the_same_pool_twice_changes_nothing():
    same = changes_between(OLD, OLD)

    assert "Nothing changes: 4 cards stay as they are." in text(same)
    assert "- **Kites**: 3 cards, copies counted; most of them: 3 tool." in text(same)
    assert changes_csv(same) == ",".join(COLUMNS) + "\n"


def test_where_few_cards_name_archetypes_it_is_said_why_nothing_is_compared():
    few = PoolTable([PoolCard("Elm Bell", 9), PoolCard("Tin Moth", 8, archetypes=("Moths",))])

    said = text(changes_between(few, NEW))

    assert f"## {ARCHETYPES}\n\n{FEW_NAMED}\n" in said
    assert "**Moths**" not in said


def test_a_pool_of_the_same_size_is_not_counted_twice():
    grown = PoolTable(
        [PoolCard("Elm Bell", 3), PoolCard("Tin Moth", 3), PoolCard("Oil Lamp", 1)]
    )

    assert "the pool has 7 cards, as before." in text(changes_between(OLD, grown))


def test_the_line_that_reasons_name_is_explained_once():
    why = dict.fromkeys(("Ash Vine", "a|b"), "weak; over 19 in 20 below 49.38%")

    said = text(changes_between(OLD, NEW, why))

    assert said.count("49.38% is the line: a card that truly wins less is weak.") == 1
    assert "is the line" not in text()


def test_names_that_are_nearly_the_same_are_pointed_out():
    new = PoolTable([PoolCard("Ash Vines", 3), PoolCard("Elm Bell", 2)])

    said = text(changes_between(OLD, new))

    assert "Ash Vine is gone and Ash Vines is new: if they are one card, mend the name" in said


def test_the_csv_has_a_row_a_card():
    rows = list(csv.DictReader(io.StringIO(changes_csv(FOUND))))

    assert list(rows[0]) == list(COLUMNS)
    assert [(row["card"], row["copies_before"], row["copies_after"]) for row in rows] == [
        *(("Ash Vine", "3", "0"), ("a|b", "0", "2")),
        *(("Tin Moth", "1", "2"), ("Elm Bell", "2", "1")),
    ]
    assert rows[0]["why"] == "weak"


def test_the_json_holds_all_of_it():
    found = json.loads(changes_json(FOUND, Source("old"), Source("new"), version="9"))

    assert [source["name"] for source in found["sources"]] == ["old", "new"]
    assert (found["before"], found["after"], found["kept"]) == (7, 6, 1)
    assert found["into"][0]["why"] == "sound"
    assert {"out", "more", "fewer", "supports", "alike", "version"} <= set(found)


def test_labels_that_no_changed_card_has_get_no_column():
    found = changes_between(
        PoolTable([PoolCard("Moth", 1, "Cog"), PoolCard("Vine", 1)]),
        PoolTable([PoolCard("Vine", 1), PoolCard("Bell", 1)]),
    )

    assert "| Card | Copies | Faction |\n" in text(found)
    assert "| Bell | 0 to 1 |  |\n" in text(found)
