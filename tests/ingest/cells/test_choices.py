"""Cells that hold one of a few words."""

import numpy as np
import pytest

from tests.ingest.sheets import view
from winrate_tools.ingest.cells.choices import YES_NO, read_choice
from winrate_tools.ingest.roles.kinds import POOL
from winrate_tools.ingest.tables.evidence import GUESS_WORDS


def read(*cells: str):
    seen = view(
        "Card,Copies,Protected", *(f"Card {cell},1,{cell}" for cell in cells), kind=POOL
    )
    return read_choice(seen, "protected", YES_NO, "yes or no")


@pytest.mark.parametrize(
    "word", ["yes", "Yes", " Y ", "1", "x", "TRUE", "ja", "oui", "sí", "tak"]
)
def test_yes_is_understood_in_several_languages(word: str):
    assert read(word).numbers["protected"].tolist() == [1]


@pytest.mark.parametrize("word", ["no", "N", "0", "false", "nein", "Non", "não", "nie"])
def test_no_is_understood_in_several_languages(word: str):
    assert read(word).numbers["protected"].tolist() == [0]


@pytest.mark.parametrize("word", ["", "-", "?"])
def test_a_blank_cell_is_unknown(word: str):
    part = read(word)

    assert np.isnan(part.numbers["protected"]).all()
    assert part.findings == ()


def test_any_other_word_is_reported_in_its_place():
    part = read("yes", "perhaps")
    [found] = part.findings

    assert found.problem.place == "cards.csv:3:3"
    assert found.problem.message == (
        "protected must be yes or no, got 'perhaps' for 'Card perhaps'"
    )
    assert found.problem.line[found.problem.start : found.problem.end] == "perhaps"
    assert np.isnan(part.numbers["protected"][1])
    assert part.numbers["protected"][0] == 1


@pytest.mark.parametrize("words", [YES_NO, GUESS_WORDS], ids=["yes or no", "guess"])
def test_no_word_stands_for_two_choices(words: tuple[str, ...]):
    listed = [word for names in words for word in names.split(", ")]

    assert len(set(listed)) == len(listed)
