"""Asking a person at a terminal."""

import pytest

from winrate_tools.cli import asking
from winrate_tools.errors import MappingError


def test_a_question_without_answers_is_not_asked():
    assert asking.ask(MappingError("which?")) == {}


@pytest.mark.parametrize(
    ("table", "in_terminal", "out_terminal", "can"),
    [
        ("cards.csv", True, True, True),
        ("-", True, True, False),
        ("cards.csv", False, True, False),
        ("cards.csv", True, False, False),
    ],
)
def test_only_somebody_at_a_terminal_is_asked(
    table, in_terminal, out_terminal, can, monkeypatch
):
    monkeypatch.setattr("sys.stdin.isatty", lambda: in_terminal, raising=False)
    monkeypatch.setattr("sys.stderr.isatty", lambda: out_terminal, raising=False)

    assert asking.can_ask(table) is can


@pytest.mark.parametrize(
    ("answer", "chosen"),
    [("2", {"games": 3}), ("0", {}), ("3", {}), ("x", {}), ("1", {"games": 2})],
)
def test_a_number_chooses_a_candidate(answer, chosen, monkeypatch):
    monkeypatch.setattr("typer.prompt", lambda *_, **__: answer)
    error = MappingError("which?", candidates=[{"games": 2}, {"games": 3}])

    assert asking.ask(error) == chosen
