"""What goes wrong, told in one message."""

import pytest
import typer

from winrate_tools import errors
from winrate_tools.cli.failures import exit_code, message, problem_text, told
from winrate_tools.errors import Problem, TableError


def problem(number: int) -> Problem:
    return Problem(f"a.csv:{number}:2", "wins 5 is more than games 4", "Moth,5,4", 5, 6, "mend")


def test_each_problem_has_place_line_caret_and_mend():
    error = TableError("a.csv: 2 to mend", [problem(2), problem(7)])

    assert message(error) == (
        "error: a.csv: 2 to mend\n"
        "a.csv:2:2: wins 5 is more than games 4\n    Moth,5,4\n         ^\n    fix: mend\n"
        "a.csv:7:2: wins 5 is more than games 4\n    Moth,5,4\n         ^\n    fix: mend"
    )


def test_twenty_problems_are_shown_and_the_rest_counted():
    said = message(TableError("a.csv: many", [problem(number) for number in range(1, 1026)]))

    assert said.count("fix: mend") == 20
    assert said.endswith("\n... and 1,005 more")


@pytest.mark.parametrize(
    ("line", "start", "end", "caret"),
    [
        ("灯火,55,50", 3, 5, "    灯火,55,50\n         ^^"),
        ("a\tb,55", 4, 6, "    a\\tb,55\n         ^^"),
        ("x" * 300 + ",55," + "y" * 300, 301, 303, None),
    ],
)
def test_the_caret_stands_under_the_cell(line, start, end, caret):
    said = problem_text(Problem("a.csv:2", "bad", line, start, end))

    shown, pointer = said.splitlines()[1:]
    assert caret in {None, f"{shown}\n{pointer}"}
    assert len(shown) < 130
    assert pointer.strip() == "^^"
    assert caret or shown[pointer.index("^") :].startswith("55")


def test_a_problem_without_a_line_is_one_line():
    assert problem_text(Problem("a.csv", "it is empty")) == "a.csv: it is empty"


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (errors.TableError("x"), 1),
        (errors.CountError("x"), 1),
        (errors.FitError("x"), 1),
        (errors.MappingError("x"), 2),
        (errors.SettingError("x"), 2),
        (errors.OutputError("x"), 2),
        (errors.MissingExtraError("x"), 2),
    ],
)
def test_exit_codes_tell_bad_data_from_misuse(error: errors.WinrateError, code: int):
    assert exit_code(error) == code


@pytest.mark.parametrize(
    ("failure", "code", "said"),
    [
        (errors.SettingError("margin must be small"), 2, "error: margin must be small\n"),
        (KeyboardInterrupt(), 130, ""),
        (
            ValueError("two\nlines"),
            1,
            "error: ValueError: two lines (a bug in winrate_tools 0.1.0; run it again with "
            "--debug to see where)\n",
        ),
    ],
)
def test_a_failure_becomes_one_message_and_a_code(failure, code, said, capsys):
    with pytest.raises(typer.Exit) as caught, told():
        raise failure

    assert caught.value.exit_code == code
    assert capsys.readouterr().err == said


def test_a_bug_keeps_its_traceback_where_it_is_asked_for():
    with pytest.raises(ZeroDivisionError), told(debug=True):
        raise ZeroDivisionError


@pytest.mark.parametrize("signal", [typer.Exit(3), typer.Abort()])
def test_what_the_command_line_raises_goes_through(signal: Exception):
    with pytest.raises(type(signal)) as caught, told():
        raise signal

    assert caught.value is signal
