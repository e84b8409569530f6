"""What a terminal makes of text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.report.forms import glyphs

NAMES = st.lists(st.text(min_size=1, max_size=12), min_size=1, max_size=12, unique=True)


@given(names=NAMES, encoding=st.sampled_from(["ascii", "cp1252", "utf-8"]))
def test_any_text_can_be_sent(names: list[str], encoding: str):
    said = glyphs.sayable([glyphs.visible(name) for name in names], encoding)

    assert [text.encode(encoding).decode(encoding) for text in said] == said


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_names_that_differ_in_accents_stay_different(encoding: str):
    names = ["Ma\u0142a", "Mala", "M\u0101la", "Mala\u0304"]

    assert len(set(glyphs.sayable(names, encoding))) == len(names)


def test_marks_have_different_stand_ins():
    said = glyphs.sayable(["▼ cut", "▲ keep", "○ more games"], "ascii")

    assert said == ["- cut", "+ keep", "? more games"]


@given(text=st.text(max_size=30))
def test_no_escape_code_gets_through(text: str):
    assert glyphs.visible(f"\x1b[31m{text}\n").isprintable()


@pytest.mark.parametrize(
    ("text", "columns"), [("", 0), ("Ash Vine", 8), ("灯火", 4), ("e\u0301", 1), ("…", 1)]
)
def test_width_counts_columns_not_characters(text: str, columns: int):
    assert glyphs.width(text) == columns
