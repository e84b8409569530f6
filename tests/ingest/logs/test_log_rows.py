"""The columns that every log has."""

import numpy as np

from winrate_tools.ingest.logs.careful_rows import careful_rows
from winrate_tools.ingest.logs.coded import Wanted
from winrate_tools.ingest.logs.key_sample import mixed
from winrate_tools.ingest.logs.label_codes import BAD, UNKNOWN
from winrate_tools.ingest.logs.log_roles import find_log_roles
from winrate_tools.ingest.logs.log_rows import MOST_TROUBLES, LogRows, flag_codes, text_key
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.logs.tally import Tally
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import read_grid

LOG = "game,won,player,archetype,skill,deck,cards\n"


def log_rows(body: str, *, quick: bool = False) -> LogRows:
    head = read_grid(LOG + body, "log.csv")
    wanted = Wanted((2, 3, 4, 5, 6), (1,), {7: "|"})
    read = quick_rows if quick else careful_rows
    return LogRows(
        read(Block(body.encode(), 2), head, wanted), find_log_roles(head, {}), Tally()
    )


def test_columns_are_read_row_by_row():
    rows = log_rows(
        "1,yes,Ann,Kites,new,d1,Fox|Moth\n2,draw,Bo,,old,d2,Fox|Moth\n3,0,Ann,kites,,d1,Fox|Vine\n"
    )

    assert rows.won.tolist() == [1, UNKNOWN, 0]
    assert rows.archetype.tolist() == [0, UNKNOWN, 0]
    assert rows.band.tolist() == [0, 1, UNKNOWN]
    assert rows.run.tolist() == [text_key("d1"), text_key("d2"), text_key("d1")]
    assert rows.troubles == []


def test_a_game_has_the_same_key_however_it_was_read():
    body = "1,yes,Ann,Kites,new,d1,Fox|Moth\n1,no,Bo,Kites,new,d2,Fox|Moth\n"
    quick, careful = log_rows(body, quick=True), log_rows(body)

    assert quick.rows.numbers
    assert not careful.rows.numbers
    assert quick.key.tolist() == careful.key.tolist()
    assert careful.key[0] != careful.key[1]


def test_whole_numbers_have_the_keys_of_their_values():
    numbers = [0, 7, -3, (1 << 63) - 1]

    assert [text_key(f" {n}") for n in numbers] == mixed(np.array(numbers)).tolist()
    assert text_key("007") == text_key("7")
    assert text_key(str(1 << 63)) != text_key(str((1 << 63) - 1))
    assert len({text_key(text) for text in ("a", "b", "", "1.0", "1")}) == 5


def test_troubles_name_row_column_and_reason_and_are_the_first_only():
    body = "".join(f"{n},what,Ann,Kites,new,d1,Fox|Moth\n" for n in range(2 * MOST_TROUBLES))
    troubles = log_rows(body).troubles

    assert len(troubles) == MOST_TROUBLES
    assert troubles[0][:2] == (0, 2)
    assert "got 'what'" in troubles[0].message


def test_flags_are_yes_no_neither_or_none_of_these():
    codes, why = flag_codes(["1", "no", "", "2"])

    assert codes.tolist() == [1, 0, UNKNOWN, BAD]
    assert why[:3] == ["", "", ""]
    assert "got '2'" in why[3]
