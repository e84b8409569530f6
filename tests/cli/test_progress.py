"""How far a long read has come."""

import io

import pytest

from winrate_tools.cli.progress import progress_shown


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def shown(stream, seconds: list[float]) -> str:
    clock = iter(seconds)
    with progress_shown("reading", stream=stream, clock=lambda: next(clock)) as tell:
        for n in range(3):
            tell((n + 1) * 5_000_000)
    return stream.getvalue()


def test_a_long_read_is_shown_and_wiped():
    text = shown(Terminal(), [0, 0.5, 1.1, 1.1, 1.5, 1.5])

    assert text == "\rreading: 10 MB read \rreading: 15 MB read \r\x1b[K"


def test_other_work_is_said_in_other_words_and_at_once_if_asked():
    stream, clock = Terminal(), iter([0, 0, 0])
    with progress_shown(
        "planning", "step {}".format, patience=0, stream=stream, clock=lambda: next(clock)
    ) as tell:
        tell(3)

    assert stream.getvalue() == "\rplanning: step 3 \r\x1b[K"


def test_a_short_read_is_not_shown():
    assert shown(Terminal(), [0, 0.1, 0.2, 0.9]) == ""


def test_it_is_not_shown_too_often():
    assert shown(Terminal(), [0, 1.5, 1.5, 1.6, 1.65]).count("read ") == 1


def test_nothing_is_shown_where_there_is_no_terminal():
    assert shown(io.StringIO(), [0, 5, 6, 7]) == ""


def interrupted(stream, clock) -> None:
    with progress_shown("reading", stream=stream, clock=clock) as tell:
        tell(1)
        raise KeyboardInterrupt


def test_it_is_wiped_after_an_interruption():
    stream, clock = Terminal(), iter([0, 2, 2])
    with pytest.raises(KeyboardInterrupt):
        interrupted(stream, lambda: next(clock))

    assert stream.getvalue().endswith("\r\x1b[K")
