"""Messy files of every kind and in combination: read right, or refused with place and fix."""

from math import isnan

import pytest

from tests.ingest.messy import READ, REFUSED, Messy, Refused
from winrate_tools import errors
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards


@pytest.mark.parametrize("messy", READ, ids=lambda messy: messy.name)
def test_reads(messy: Messy):
    read = read_cards(messy.data, name=f"{messy.name}.csv", **messy.options)

    counts = zip(read.card, read.games.tolist(), read.wins.tolist(), strict=True)
    rows = tuple((card, *(None if isnan(n) else n for n in pair)) for card, *pair in counts)
    assert rows == messy.rows
    assert [words for words in messy.notes if words not in "\n".join(read.source.notes)] == []


@pytest.mark.parametrize("refused", REFUSED, ids=lambda refused: refused.name)
def test_refuses(refused: Refused):
    with pytest.raises(errors.WinrateError) as caught:
        read_cards(refused.data, name="cards.csv", **refused.options)

    problems = getattr(caught.value, "problems", ())
    said = "\n".join([str(caught.value), *(problem.message for problem in problems)])
    assert type(caught.value) is getattr(errors, refused.kind)
    assert refused.words in said
    assert tuple(p.place.removeprefix("cards.csv:") for p in problems) == refused.places
    assert all(problem.fix for problem in problems)


@pytest.mark.parametrize(
    "refused", [one for one in REFUSED if one.places], ids=lambda refused: refused.name
)
def test_the_caret_stands_under_the_cell_of_the_place(refused: Refused):
    problems = inspect_cards(refused.data, name="cards.csv", **refused.options).problems
    lines = refused.data.decode().split("\n")

    assert problems
    for problem in problems:
        _, line, _ = problem.place.split(":")
        assert problem.line == lines[int(line) - 1]
        assert 0 <= problem.start < problem.end


def test_the_page_is_long_enough():
    names = [one.name for one in (*READ, *REFUSED)]

    assert len(READ) + len(REFUSED) >= 80
    assert len(set(names)) == len(names)
