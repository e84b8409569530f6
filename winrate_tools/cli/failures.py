"""What goes wrong, told in one message, and the exit code that goes with it."""

import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace

import typer

from winrate_tools import __version__
from winrate_tools.cli.misuse import ClickException, misuse
from winrate_tools.cli.output import say
from winrate_tools.errors import (
    CountError,
    FitError,
    LevelError,
    MappingError,
    Problem,
    TableError,
    WinrateError,
)
from winrate_tools.report.forms.glyphs import visible, width

DONE, BAD_DATA, MISUSE, CUTS_FOUND, INTERRUPTED = 0, 1, 2, 3, 130
SHOWS_HELP = "NoArgsIsHelpError"
SHOWN_PROBLEMS = 20
WIDEST_LINE = 100
_SKIPPING = re.compile(r"[,;] or [a-z ]+ --skip-bad")


@contextmanager
def told(*, debug: bool = False) -> Iterator[None]:
    """Turn every failure into a message on standard error and an exit code.

    Parameters
    ----------
    debug : bool, optional
        Whether a bug of ours may show its traceback.
    """
    try:
        yield
    except WinrateError as error:
        say(message(error))
        raise typer.Exit(exit_code(error)) from error
    except BrokenPipeError as error:
        _forget_stdout()
        raise typer.Exit(DONE) from error
    except OSError as error:
        _forget_stdout()
        say(f"error: {_refused_by_the_system(error)}")
        raise typer.Exit(MISUSE) from error
    except KeyboardInterrupt as error:
        raise typer.Exit(INTERRUPTED) from error
    except Exception as error:
        if isinstance(error, ClickException) and type(error).__name__ != SHOWS_HELP:
            say(f"error: {misuse(error)}")
            raise typer.Exit(MISUSE) from error
        if debug or isinstance(error, ClickException | typer.Exit | typer.Abort):
            raise
        say(_internal(error))
        raise typer.Exit(BAD_DATA) from error


def _forget_stdout() -> None:
    """Leave nothing to flush at the end, when the reader has gone or the disk is full."""
    with suppress(AttributeError, OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _refused_by_the_system(error: OSError) -> str:
    what = (error.strerror or str(error)).lower()
    return f"{error.filename}: {what}" if error.filename else f"cannot read or write: {what}"


def _internal(error: Exception) -> str:
    what = " ".join(f"{type(error).__name__}: {error}".split())
    return (
        f"error: {what} (a bug in winrate_tools {__version__}; "
        "run it again with --debug to see where)"
    )


def exit_code(error: WinrateError) -> int:
    """Return 1 for bad data, 2 for misuse or a mapping needed."""
    if isinstance(error, MappingError):
        return MISUSE
    if isinstance(error, TableError | CountError | LevelError | FitError):
        return BAD_DATA
    return MISUSE


def message(error: WinrateError) -> str:
    """Write an error for its reader: a line, then each problem with place and mend."""
    problems = error.problems if isinstance(error, TableError) else ()
    parts = [f"error: {error}", *problem_texts(problems)]
    return "\n".join(parts)


def problem_texts(problems: tuple[Problem, ...]) -> list[str]:
    """Write problems with their raw line, a caret and a mend; at most 20 and a count."""
    texts = [problem_text(problem) for problem in problems[:SHOWN_PROBLEMS]]
    if len(problems) > SHOWN_PROBLEMS:
        texts.append(f"... and {len(problems) - SHOWN_PROBLEMS:,} more")
    return texts


def without_skipping(problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Take the advice to leave rows out from problems of a table where each row counts.

    Examples
    --------
    >>> [one] = without_skipping((Problem("a:2:2", "odd", fix="mend it, or use --skip-bad"),))
    >>> one.fix
    'mend it'
    """
    return tuple(replace(one, fix=_SKIPPING.sub("", one.fix)) for one in problems)


def problem_text(problem: Problem) -> str:
    """Write one problem.

    Examples
    --------
    >>> print(problem_text(Problem("a.csv:2:2", "wins 5 is more than games 4", "Moth,5,4",
    ...                            5, 6, "check the columns")))
    a.csv:2:2: wins 5 is more than games 4
        Moth,5,4
             ^
        fix: check the columns
    """
    lines = [f"{problem.place}: {problem.message}"]
    if problem.line:
        lines += [f"    {line}" for line in _framed(problem)]
    if problem.fix:
        lines.append(f"    fix: {problem.fix}")
    return "\n".join(lines)


def _framed(problem: Problem) -> list[str]:
    """Show the raw line, a long one only around its cell, and point at the cell."""
    first = max(0, problem.start - WIDEST_LINE // 2)
    before = visible(problem.line[first : problem.start])
    cell = visible(problem.line[problem.start : problem.end])
    after = visible(problem.line[problem.end : first + WIDEST_LINE])
    opening = "... " if first else ""
    closing = " ..." if first + WIDEST_LINE < len(problem.line) else ""
    shown = f"{opening}{before}{cell}{after}{closing}".rstrip()
    if problem.end <= problem.start:
        return [shown]
    return [shown, " " * width(opening + before) + "^" * max(width(cell), 1)]
