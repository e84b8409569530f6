"""Cells that hold one of a few words."""

import numpy as np
import pytest

from tests.ingest.sheets import view
from winrate_tools.ingest.cells.choices import GUESS_WORDS, YES_NO, names_choices, read_choice
from winrate_tools.ingest.roles.kinds import CANDIDATES, POOL


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


def test_another_guess_is_told_the_three_that_are_wanted():
    seen = view("card,guess", "Ash,bof", kind=CANDIDATES)
    [found] = read_choice(seen, "guess", GUESS_WORDS, "weaker, like or stronger").findings

    assert found.problem.message == (
        "guess must be weaker, like or stronger, got 'bof' for 'Ash'"
    )


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


@pytest.mark.parametrize(
    ("cells", "do"),
    [
        (("like", "weaker"), True),
        (("like", "weaker", "-", "", "bof", "nul"), True),
        (("like", "weaker", "bof", "nul", "top"), False),
        (("like", "same", "wie"), False),
        (("", "-"), False),
        ((), False),
    ],
)
def test_cells_name_choices_if_half_of_them_do_and_not_all_the_same(cells, do):
    assert names_choices(cells, GUESS_WORDS) is do
