"""Documents as markdown."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from winrate_tools.report.cards import sections
from winrate_tools.report.cards.ranking import ranking_document
from winrate_tools.report.document import (
    Document,
    Paragraph,
    Picture,
    Section,
    Table,
    TableColumn,
    Verbatim,
)
from winrate_tools.report.forms import markdown

READER = MarkdownIt("commonmark").enable("table")
NAMES = [
    "a|b",
    "<b>bold</b>",
    "`tick`",
    "*star* _line_",
    "[link](http://example.org)",
    "# title",
    "- item",
    "1. one",
    "back\\slash",
    "&amp;",
    "~~gone~~",
    "None",
    "=X",
]


def texts(source: str) -> list[str]:
    """Read markdown back to the plain text of its cells."""
    tokens = [child for token in READER.parse(source) for child in token.children or []]
    assert {token.type for token in tokens} <= {"text"}
    return [token.content for token in tokens]


def table_of(names: list[str]) -> Document:
    rows = tuple((name,) for name in names)
    return Document("T", (Section("", (Table((TableColumn("Card"),), rows),)),))


def test_odd_names_stay_names_in_a_table():
    assert texts(markdown.render(table_of(NAMES))) == ["T", "Card", *NAMES]


@pytest.mark.parametrize("name", NAMES)
def test_odd_names_stay_names_in_running_text(name: str):
    tokens = READER.parse(markdown.escaped(name))

    assert [token.type for token in tokens] == ["paragraph_open", "inline", "paragraph_close"]
    assert "".join(child.content for child in tokens[1].children or []) == name


@given(name=st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=20))
def test_any_name_stays_a_name(name: str):
    assert "".join(texts(markdown.render(table_of([name])))[2:]) == name


def test_a_line_break_in_a_name_breaks_no_line():
    lines = markdown.render(table_of(["one\ntwo"])).splitlines()

    assert lines[-1] == "| one\\\\ntwo |"


def test_a_fence_is_longer_than_any_run_of_ticks_inside():
    said = markdown.render(Document("T", (Section("", (Verbatim("a ``` b"),)),)))

    assert said == "# T\n\n````\na ``` b\n````\n"


def test_every_card_of_a_ranking_is_there(pool, source):
    said = texts(markdown.render(ranking_document(pool, source, pool.cards)))

    assert {card.card for card in pool.cards} <= set(said)


PICTURE = Picture("luck", "What [luck] does", "Read *this*.", "3 of 4 <b>", "<svg><g/></svg>")
SHOWN = Document(
    "T", (Section("Cards", (Paragraph("All."), PICTURE)), Section("P", (PICTURE,)))
)


def test_a_picture_is_a_file_beside_the_markdown_with_words_for_those_who_cannot_see_it():
    tokens = READER.parse(markdown.render(SHOWN, "my cuts (1)"))

    images = [one for token in tokens for one in token.children or [] if one.type == "image"]
    assert [image.attrs["src"] for image in images] == ["my%20cuts%20%281%29.luck.svg"] * 2
    assert images[0].content == r"3 of 4 \<b\>"
    assert images[0].children[0].content == "3 of 4 <b>"
    assert markdown.LEFT_OUT not in markdown.render(SHOWN, "cuts")
    assert r"**What \[luck\] does.** Read \*this\*." in markdown.render(SHOWN, "my cuts (1)")


def test_the_files_are_named_after_the_markdown_and_stand_alone():
    assert list(markdown.picture_files(SHOWN, "cuts")) == ["cuts.luck.svg"]
    assert "<style>" in markdown.picture_files(SHOWN, "cuts")["cuts.luck.svg"]


def test_every_file_of_a_report_is_asked_for_and_every_one_asked_for_is_there(pool, source):
    report = sections.cut_report(pool, source, origins={}, version="1")

    tokens = READER.parse(markdown.render(report, "cuts"))
    images = [one for token in tokens for one in token.children or [] if one.type == "image"]
    asked = [str(image.attrs["src"]) for image in images]
    assert sorted(asked) == sorted(markdown.picture_files(report, "cuts"))
    assert len(asked) == 4


def test_without_files_pictures_are_left_out_with_a_note():
    said = markdown.render(SHOWN)

    assert said == f"# T\n\n## Cards\n\nAll.\n\n{markdown.LEFT_OUT}\n"


def test_a_document_without_pictures_has_no_note():
    assert markdown.LEFT_OUT not in markdown.render(table_of(["Ash"]))
    assert markdown.picture_files(table_of(["Ash"]), "cuts") == {}
