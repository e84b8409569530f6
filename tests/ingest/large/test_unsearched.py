"""Garbage waits while a large table is read."""

import gc
from contextlib import suppress

import pytest

from winrate_tools.ingest.large import large
from winrate_tools.ingest.large.unsearched import unsearched
from winrate_tools.ingest.tables.cards import read_cards


@pytest.mark.parametrize("was", [True, False])
@pytest.mark.parametrize("error", [None, KeyError])
def test_afterwards_all_is_as_before(was: bool, error: type[Exception] | None):
    (gc.enable if was else gc.disable)()
    seen = []
    with suppress(KeyError), unsearched():
        seen.append(gc.isenabled())
        if error:
            raise error
    after = gc.isenabled()
    gc.enable()

    assert (seen, after) == ([False], was)


def test_a_large_table_is_read_so(monkeypatch, tmp_path):
    path, seen = tmp_path / "cards.csv", []
    path.write_text("card,games,wins\nAsh Vine,90,40\n")
    result = large.Gathering.result
    monkeypatch.setattr("winrate_tools.ingest.large.size.LARGE", 1)
    monkeypatch.setattr(
        large.Gathering, "result", lambda *it: seen.append(gc.isenabled()) or result(*it)
    )
    table = read_cards(path)

    assert table.card == ("Ash Vine",)
    assert (seen, gc.isenabled()) == ([False], True)
