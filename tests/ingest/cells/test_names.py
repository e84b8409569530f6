"""Names and labels."""

import pytest

from tests.ingest.sheets import sheet
from winrate_tools.errors import TableError
from winrate_tools.ingest.cells.names import (
    LabelColumn,
    contradictions,
    read_labels,
    read_names,
    tidy,
    unprintable,
)
from winrate_tools.ingest.tables.cards import read_cards


def notes(*lines: str, **options: object) -> str:
    text = "\n".join([*lines, ""])
    return "\n".join(read_cards(text.encode(), **options).source.notes)


def test_two_spellings_of_one_card_become_the_first_with_a_note():
    text = (
        "Card,Archetype,Games,Wins",
        "Ash Vine,Fair,5,3",
        "ASH  vine,fair ,4,2",
        "B,Moon,4,2",
    )

    with pytest.raises(TableError, match="listed twice"):
        notes(*text)
    said = notes(*text[:2], "ASH  vine,moon,4,2", text[3])
    assert "card 'ASH  vine' was read as 'Ash Vine'" in said
    assert "archetype 'Moon' was read as 'moon'" in said


def test_two_factions_of_one_card_are_said():
    said = notes("Card,Archetype,Faction,Games,Wins", "A,x,Wick,5,3", "A,y,,5,3", "A,z,Cog,5,3")

    assert said == "'A' has faction 'Wick' on line 2 and 'Cog' on line 4: the first was kept"


@pytest.mark.parametrize(
    ("cell", "label"), [("", None), ("-", None), ("None", "None"), ("?", None)]
)
def test_labels_are_unknown_only_where_nothing_is_said(cell: str, label: str | None):
    table = read_cards(f"Card,Rarity,Games,Wins\nA,{cell},5,3\nB,rare,4,2\n".encode())

    assert table.rarity == (label, "rare")


def test_names_are_trimmed_and_otherwise_kept():
    assert tidy("\ufeff Ash Vine \u200b") == "Ash Vine"
    assert tidy("Ash \r\n Vine") == "Ash Vine"
    assert tidy("a|b  <i>") == "a|b  <i>"


@pytest.mark.parametrize(
    ("name", "tidied"),
    [
        ("Ash \n \n Vine", "Ash Vine"),
        ("\tAsh\u2028Vine\x85", "Ash Vine"),
        ("Ash  Vine", "Ash  Vine"),
        ("Ash\u00a0\u202fVine", "Ash  Vine"),
        ("Ash\u3000Vine\u2003Tin\u205fMoth", "Ash Vine Tin Moth"),
        ("\u200b \u2060", ""),
        ("\U0001f469\u200d\U0001f680 Ash", "\U0001f469\u200d\U0001f680 Ash"),
    ],
)
def test_only_line_ends_outer_blanks_and_odd_ones_are_mended(name: str, tidied: str):
    assert tidy(name) == tidied


def test_a_name_of_blanks_around_a_bell_is_tidied_at_once():
    name = "A\x07" + " " * 100_000 + "x"

    assert tidy(name) == name


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("Ash", None),
        ("A\u200dB", None),
        ("A\x1b[0m", "U+001B"),
        ("A\u200bB", "U+200B"),
        ("A\u2066B", "U+2066"),
    ],
)
def test_what_cannot_be_seen_is_named_by_its_code(name: str, code: str | None):
    assert unprintable(name) == code


def test_names_become_the_first_spelling_and_blank_ones_are_found():
    grid = sheet("Card,Games", "Ash Vine,1", "ASH  VINE,2", ",3", '"Tin\nMoth",4').grid
    column = read_names(grid, 1)

    assert column.labels == ("Ash Vine", "Ash Vine", "", "Tin Moth")
    assert [found.row for found in column.findings] == [2]
    assert column.notes == (
        "a card name over several lines was put on one: 'Tin Moth'",
        "card 'ASH  VINE' was read as 'Ash Vine'",
    )


def test_a_line_end_around_a_name_is_no_other_line_of_it():
    column = read_names(sheet("Card,Games", '"Tin Moth\n",4', '"\nAsh",1').grid, 1)

    assert column.labels == ("Tin Moth", "Ash")
    assert column.notes == ()


def test_odd_blanks_become_plain_ones_with_one_note_for_all():
    grid = sheet("Card,Games", "Ash\u00a0Vine,1", "Ash Vine,2", "Tin\u3000Moth,3").grid
    column = read_names(grid, 1)

    assert column.labels == ("Ash Vine", "Ash Vine", "Tin Moth")
    assert column.notes == (
        "card: odd blanks, such as those that keep a line from breaking, were read as plain "
        "ones in 2 names: Ash Vine, Tin Moth",
    )


def test_odd_blanks_of_labels_become_plain_ones_too():
    grid = sheet("x,Card", "Wind\u202fUp,1", "Wind Up,2").grid

    assert read_labels(grid, 1, "skill_band") == LabelColumn(
        ("Wind Up", "Wind Up"),
        (
            "skill band: odd blanks, such as those that keep a line from breaking, were read "
            "as plain ones in 1 name: Wind Up",
        ),
    )


@pytest.mark.parametrize(("letters", "count"), [(200, 0), (201, 1)])
def test_a_text_too_long_for_a_name_is_a_problem(letters: int, count: int):
    column = read_names(sheet("Card,Games", f"{'x' * letters},1").grid, 1)

    assert len(column.findings) == count


def test_labels_keep_one_spelling_and_know_the_unknown():
    column = read_labels(
        sheet("x,Card", "Fair,1", "?,2", "FAIR,3", "\u2014,4").grid, 1, "skill_band"
    )

    assert column.labels == ("Fair", None, "Fair", None)
    assert column.notes == ("skill band 'FAIR' was read as 'Fair'",)


def test_contradictions_are_said_of_known_labels_in_the_rows_looked_at():
    card, labels = ["A", "A", "B", "A"], {"faction": [None, "x", "y", "z"]}

    said = list(contradictions(card, labels, range(4), "line {}".format))
    assert said == ["'A' has faction 'x' on line 1 and 'z' on line 3: the first was kept"]
    assert list(contradictions(card, labels, range(3), "line {}".format)) == []
