"""A log read block by block."""

from dataclasses import replace

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.logs.careful_rows import careful_rows
from winrate_tools.ingest.logs.folded_rows import FoldedRows
from winrate_tools.ingest.logs.log_reader import LogReader, findings_error
from winrate_tools.ingest.logs.log_roles import find_log_roles
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.logs.tally import Tally
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import read_grid

HEAD = read_grid("game,won,cards\n1,yes,Fox|Moth\n", "log.csv")


def reader(**options) -> LogReader:
    return LogReader(HEAD, find_log_roles(HEAD, {}), Tally(), **options)


def add(to: LogReader, text: str, line: int = 2) -> list[bool]:
    """Add a block, and tell whether it had to be read with care."""
    block, looked = Block(text.encode(), line), []

    def careful():
        looked.append(True)
        return careful_rows(block, HEAD, to.wanted)

    to.add(quick_rows(block, HEAD, to.wanted), careful)
    return looked


def test_a_plain_block_is_not_looked_at_closely():
    log = reader()

    assert add(log, "1,yes,Fox|Moth\n2,no,Fox\n") == []
    assert (log.tally.games, log.findings) == (2, [])


def test_an_odd_block_is_looked_at_and_placed_in_the_file():
    log = reader()

    assert add(log, "1,yes,Fox|Moth\n2,what,Fox\n", line=7) == [True]
    assert [found.problem.place for found in log.findings] == ["log.csv:8:2"]
    assert log.tally.games == 0


def test_ids_that_are_numbers_come_as_numbers():
    named = read_grid("game,won,cards\na1,yes,Fox|Moth\n", "log.csv")

    assert reader().wanted.numbers == (1,)
    assert replace(reader(), head=named).wanted.numbers == ()


def test_bad_rows_may_be_left_out_and_are_counted():
    log = reader(skip_bad=True)
    add(log, "1,yes,Fox|Moth\n2,what,Fox\n3,no,\n1,yes,Fox\n4\n")

    assert (log.tally.games, log.left_out) == (1, 4)


def test_what_is_counted_can_be_kept():
    kept = []
    log = reader(keep=kept.append)
    add(log, "1,yes,Fox|Moth\n")

    assert [rows.rows for rows in kept] == [1]


def test_a_quote_that_does_not_close_stops_at_once():
    with pytest.raises(TableError, match="a quoted cell must end"):
        add(reader(skip_bad=True), '1,yes,"Fox\n')


def test_a_block_of_blank_rows_holds_nothing():
    log = reader()
    add(log, ",,\n,,\n")

    assert (log.tally.games, log.findings) == (0, [])


def test_problems_are_gathered_in_file_order():
    found = [HEAD.finding(0, number, f"wrong {number}", "mend") for number in (3, 1)]
    error = findings_error("log.csv", found)

    assert str(error) == "log.csv: 2 problems; first: log.csv:2:1: wrong 1"
    assert [problem.message for problem in error.problems] == ["wrong 1", "wrong 3"]
    assert str(findings_error("log.csv", found[:1])).startswith("log.csv: 1 problem; ")


def long_reader(header: str, rows: list[str]) -> LogReader:
    head = read_grid("\n".join([header, *rows, ""]), "log.csv")
    return LogReader(head, find_log_roles(head, {}), Tally())


@pytest.mark.parametrize(
    ("header", "rows", "varying"),
    [
        ("game,won,card", ["1,yes,Fox", "1,yes,Moth", "1,yes,Fox"], (3,)),
        ("game,won,card,held", ["1,yes,Fox,1", "1,yes,Moth,1", "1,yes,Fox,0"], (3, 4)),
        ("game,won,card", ["1,yes,Fox", "1,yes,Moth", "1,yes,Fox", "2,no,Fox"], ()),
        ("game,card,won", ["1,Fox,yes", "1,Moth,yes", "1,Fox,yes"], ()),
        ("game,held,won,card", ["1,1,yes,Fox", "1,1,yes,Moth", "1,1,yes,Fox"], ()),
    ],
)
def test_rows_are_folded_where_games_have_many_and_cards_stand_last(header, rows, varying):
    assert long_reader(header, rows).wanted.varying == varying


def folded_blocks(*texts: str, keep=None) -> Tally:
    """Count the blocks of a long log, folded."""
    log = long_reader("game,won,card,held", ["1,yes,Fox,1", "1,yes,Moth,1", "1,yes,Fox,0"])
    log.keep, folded = keep, FoldedRows(log.head, log.wanted)
    line = 2
    for text in texts:
        block = Block(text.encode(), line)
        rows = folded.read(block)
        assert rows.lists
        log.add(rows, lambda block=block: careful_rows(block, log.head, log.wanted))
        line += text.count("\n")
    if log.findings:
        raise findings_error("log.csv", log.findings)
    return log.tally


def test_a_folded_game_goes_on_over_blocks_and_over_runs():
    tally = folded_blocks(
        "1,yes,Fox,1\n1,yes,Moth,0\n", "1,YES,Fox,0\n1,yes,Fox,1\n2,no,Moth,1\n"
    )
    table = tally.card_table()

    assert tally.games == 2
    assert table.card == ("Fox", "Moth")
    assert table.games.tolist() == [2, 1]
    assert table.wins.tolist() == [2, 0]
    assert table.unheld_games.tolist() == [1, 1]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("1,yes,Fox,1\n1,yes,,0\n", "log.csv:3:3"),
        ("1,yes,Fox,1\n1,yes,Fox,?\n", "log.csv:3:4"),
        ("1,yes,Fox,1\n1,no,Fox,0\n", "log.csv:3:2"),
        ("1,yes,Fox,1\n1,yes,Fox,1\n2,no,Fox,0\n2,no,Fox,0\n1,yes,Fox,1\n", "log.csv:6:1"),
    ],
)
def test_what_is_wrong_in_a_folded_block_has_its_line(text, place):
    with pytest.raises(TableError) as caught:
        folded_blocks(text)

    assert [problem.place for problem in caught.value.problems] == [place]


def test_folded_blocks_are_kept_row_by_row():
    kept = []
    folded_blocks("1,yes,Fox,1\n1,yes,Moth,0\n", keep=kept.append)

    assert [(rows.rows, dict(rows.lists)) for rows in kept] == [(2, {})]
