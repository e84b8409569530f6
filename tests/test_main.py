"""The entry point."""

import gc
import os
import sys
from contextlib import suppress
from types import ModuleType

import pytest

from winrate_tools import __main__ as entry


@pytest.fixture(autouse=True)
def usual_search():
    """Search for garbage afterwards as before."""
    before = gc.get_threshold()
    yield
    gc.set_threshold(*before)
    gc.unfreeze()


def test_linear_algebra_gets_one_thread_unless_the_user_says_otherwise(monkeypatch):
    for variable in entry.THREADS:
        monkeypatch.delenv(variable, raising=False)
    monkeypatch.setenv("OMP_NUM_THREADS", "4")
    called = []
    monkeypatch.setattr("winrate_tools.cli.app.app", lambda **options: called.append(options))
    entry.main()

    assert called == [{"prog_name": "winrate-tools"}]
    assert {variable: os.environ[variable] for variable in entry.THREADS} == {
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "4",
        "MKL_NUM_THREADS": "1",
    }
    for variable in entry.THREADS:
        monkeypatch.delenv(variable)


class Slow(ModuleType):
    """A module whose reader loses patience."""

    @property
    def app(self) -> None:
        raise KeyboardInterrupt


def test_an_interrupt_while_the_program_is_loaded_is_quiet(monkeypatch, capsys):
    for variable in entry.THREADS:
        monkeypatch.setenv(variable, "1")
    monkeypatch.setitem(sys.modules, "winrate_tools.cli.app", Slow("slow"))
    with pytest.raises(SystemExit) as caught:
        entry.main()

    assert caught.value.code == 130
    assert capsys.readouterr() == ("", "")


def test_the_search_for_garbage_does_not_hold_up_the_start(monkeypatch):
    for variable in entry.THREADS:
        monkeypatch.setenv(variable, "1")
    seen = []
    monkeypatch.setattr(
        "winrate_tools.cli.app.app", lambda **_: seen.append(gc.get_threshold()[0])
    )
    entry.main()

    assert seen == [entry.SEARCH_AFTER]
    assert gc.isenabled()


@pytest.mark.parametrize("ending", [None, SystemExit(2), KeyboardInterrupt()])
def test_nothing_is_searched_for_garbage_when_the_program_ends(monkeypatch, ending):
    def app(**_: str) -> None:
        if ending is not None:
            raise ending

    for variable in entry.THREADS:
        monkeypatch.setenv(variable, "1")
    monkeypatch.setattr("winrate_tools.cli.app.app", app)
    gc.unfreeze()
    with suppress(SystemExit):
        entry.main()

    assert gc.get_freeze_count() > 0
