"""What bad input is thrown at: each takes any bytes and may refuse them, in our own words."""

import tomllib
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest.mock import patch

import numpy as np

from winrate_tools.cli.configuration import resolve
from winrate_tools.errors import WinrateError
from winrate_tools.ingest.cells.numbers import read_numbers, tokenise
from winrate_tools.ingest.large import large
from winrate_tools.ingest.logs.logs import count_logs
from winrate_tools.ingest.roles.memory import remember_mapping, remembered_mapping
from winrate_tools.ingest.tables.archetypes import read_archetypes
from winrate_tools.ingest.tables.candidates import read_candidates
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards
from winrate_tools.ingest.tables.journal import read_journal, write_journal
from winrate_tools.ingest.tables.matches import read_matches
from winrate_tools.ingest.tables.pools import read_pool
from winrate_tools.ingest.text.containers import open_container
from winrate_tools.ingest.text.decode import decode
from winrate_tools.ingest.text.grid import read_grid
from winrate_tools.report.cards.records import rows_csv

NAME = "fuzz.csv"


def text(data: bytes) -> None:
    """Bytes to text, and text to rows as wide as their header."""
    grid = read_grid(decode(open_container(data, NAME), NAME).text, NAME)
    assert {len(row.cells) for row in grid.rows} <= {len(grid.headers)}


def numbers(data: bytes) -> None:
    """Cells to numbers."""
    cells = [cell.strip() for cell in data.decode("utf-8", "replace").split("\n")]
    for mark in (None, ".", ","):
        column = read_numbers(cells, list(map(tokenise, cells)), file_mark=mark)
        assert len(column.values) == len(cells)


def cards(data: bytes) -> None:
    """A table of cards; written plainly, it reads the same."""
    table = read_cards(data)
    assert not (table.wins > table.games).any()
    if table.archetype is None and table.skill_band is None:
        return
    rows = [
        {"card": card, "archetype": deck or "", "skill_band": band or "", "games": g, "wins": w}
        for card, deck, band, g, w in zip(
            table.card,
            table.archetype or [""] * len(table.card),
            table.skill_band or [""] * len(table.card),
            table.games.tolist(),
            table.wins.tolist(),
            strict=True,
        )
    ]
    again = read_cards(rows_csv(rows).encode(), columns={name: name for name in rows[0]})
    assert again.card == table.card
    assert np.array_equal(again.games, table.games, equal_nan=True)
    assert np.array_equal(again.wins, table.wins, equal_nan=True)


def streamed(data: bytes) -> None:
    """A table of cards that streams by in small blocks; read with all care, it is the same."""
    with TemporaryDirectory() as folder, patch.object(large, "BLOCK", 64):
        path = Path(folder) / NAME
        path.write_bytes(data)
        seen = large.inspect_large(path, large.Choices(sum_duplicates=True))
    if seen is None or seen.table is None or "win_rate" in seen.roles:
        return
    careful = inspect_cards(data, name=NAME, sum_duplicates=True).table
    assert careful is not None
    assert careful.card == seen.table.card
    assert careful.archetype == seen.table.archetype
    assert np.array_equal(careful.games, seen.table.games, equal_nan=True)
    assert np.array_equal(careful.wins, seen.table.wins, equal_nan=True)


def archetypes(data: bytes) -> None:
    """A table of archetypes."""
    table = read_archetypes(data)
    assert not (table.wins > table.games).any()


def pool(data: bytes) -> None:
    """A pool."""
    assert read_pool(data).size >= 0


def candidates(data: bytes) -> None:
    """Candidates."""
    assert read_candidates(data) is not None


def matches(data: bytes) -> None:
    """Matches of a table's own."""
    assert read_matches(data) is not None


def journal(data: bytes) -> None:
    """A journal; written again, it reads the same."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "journal.csv"
        path.write_bytes(data)
        rows = read_journal(path)
        write_journal(path, rows)
        assert [row.archetype for row in read_journal(path)] == [row.archetype for row in rows]


def settings(data: bytes) -> None:
    """A configuration: read, asked for a mapping, and given one."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "winrate.toml"
        path.write_bytes(data)
        with suppress(WinrateError):
            resolve({}, environment={}, files=[path])
        remembered_mapping(Path(folder), ["card", "games"])
        remember_mapping(Path(folder), ["card", "games"], {"card": 1})
        kept = tomllib.loads(path.read_bytes().decode().replace("\r\n", "\n"))
        before = tomllib.loads(data.decode().replace("\r\n", "\n"))
        assert {name: kept[name] for name in before if name != "mapping"} == {
            name: before[name] for name in before if name != "mapping"
        }


def logs(data: bytes) -> None:
    """A game log."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "log.csv"
        path.write_bytes(data)
        assert count_logs([str(path)]) is not None


TARGETS: dict[str, Callable[[bytes], None]] = {
    each.__name__: each
    for each in (
        text, numbers, cards, streamed, archetypes, pool, candidates, matches, journal,
        settings, logs,
    )
}  # fmt: skip


def thrown(name: str, data: bytes) -> None:
    """Throw bytes at a target; only our own refusals are swallowed."""
    with suppress(WinrateError):
        TARGETS[name](data)
