"""The errors raised on purpose."""

import inspect
import re

import pytest

from winrate_tools import errors
from winrate_tools.errors import (
    CountError,
    LevelError,
    MappingError,
    Problem,
    SettingError,
    TableError,
    WinrateError,
)

CLASSES = {
    name: kind
    for name, kind in inspect.getmembers(errors, inspect.isclass)
    if issubclass(kind, Exception)
}


@pytest.mark.parametrize("name", CLASSES)
def test_one_base_catches_them_all(name: str):
    assert issubclass(CLASSES[name], WinrateError)


def test_the_tree_on_top_is_the_tree_below():
    drawn = re.findall(r"^([│├└─ ]*)(\w+Error) ", errors.__doc__, flags=re.MULTILINE)
    depth = {name: len(branch) // 4 for branch, name in drawn}

    assert depth == {name: kind.__mro__.index(WinrateError) for name, kind in CLASSES.items()}


@pytest.mark.parametrize("name", CLASSES)
def test_each_says_when_it_happens(name: str):
    assert CLASSES[name].__doc__.split("\n")[0].endswith(".")


@pytest.mark.parametrize("kind", [SettingError, CountError, LevelError])
def test_a_bad_value_is_also_a_value_error(kind: type[Exception]):
    assert issubclass(kind, ValueError)


@pytest.mark.parametrize("kind", [TableError, MappingError])
def test_a_table_error_keeps_its_problems_in_file_order(kind: type[TableError]):
    problems = [Problem("a.csv:2:1", "first"), Problem("a.csv:9", "second")]

    error = kind("2 problems in a.csv", problems)

    assert str(error) == "2 problems in a.csv"
    assert error.problems == tuple(problems)


def test_a_table_error_may_come_without_places():
    assert TableError("the file is empty").problems == ()


def test_a_problem_cannot_be_changed():
    problem = Problem("a.csv:2:1", "wins 5 is more than games 4", "Moth,4,5", 7, 8, "swap them")

    with pytest.raises(AttributeError):
        problem.message = "all is well"
