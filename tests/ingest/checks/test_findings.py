"""Findings in order, and long texts kept short."""

import pytest

from winrate_tools.errors import Problem
from winrate_tools.ingest.checks.findings import Finding, excerpt, first_few, in_order


def finding(line: int, cell: int, message: str = "wrong") -> Finding:
    return Finding(Problem(f"cards.csv:{line}:{cell}", message), line, cell)


def test_findings_come_by_line_and_cell_as_numbers():
    found = in_order([finding(10, 1), finding(2, 12), finding(2, 3), finding(0, 0)])

    assert [(one.line, one.cell) for one in found] == [(0, 0), (2, 3), (2, 12), (10, 1)]


def test_the_same_words_on_one_place_are_said_once():
    found = in_order([finding(2, 3), finding(2, 3), finding(2, 3, "odd"), finding(2, 4)])

    assert [(one.cell, one.problem.message) for one in found] == [
        (3, "wrong"),
        (3, "odd"),
        (4, "wrong"),
    ]


@pytest.mark.parametrize(
    ("text", "shown"), [("", ""), ("abcd", "abcd"), ("abcde", "abc\u2026")]
)
def test_an_excerpt_is_never_longer_than_asked(text: str, shown: str):
    assert excerpt(text, most=4) == shown


@pytest.mark.parametrize(
    ("items", "words"),
    [([], ""), (["a", "b"], "a, b"), (["a", "b", "c", "d"], "a, b and 2 more")],
)
def test_a_list_ends_in_how_many_more(items: list[str], words: str):
    assert first_few(items, most=2) == words
