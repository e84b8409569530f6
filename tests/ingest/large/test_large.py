"""Large tables: what streams by is read as the careful reader reads it."""

import gzip
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.ingest.logs_on_disk import quoted
from winrate_tools.errors import TableError
from winrate_tools.ingest.large import large, size
from winrate_tools.ingest.large.large import Choices, inspect_large
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards
from winrate_tools.ingest.text import byte_keys, text_stream
from winrate_tools.tables import LABELS, NUMBERS

CARDS = ["Ash Vine", "ash  vine", 'Wax "Heron"', "Fox, the", "Käfer", "0x1F", "-", "Moth|2"]
QUICK = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)

names = st.sampled_from(CARDS) | st.integers(1, 30).map("Card {}".format)
labels = st.sampled_from(["Kites", "kites", "Masks", "", "-"])
counts = st.integers(0, 2000) | st.sampled_from(["", "n/a", " 12", "+3", "007"])
cells = st.tuples(names, labels, labels, counts, counts, counts)
rows = st.lists(cells, min_size=4, max_size=40)
"""Card, archetype, rarity, games, wins and copies drafted; wins may well exceed games."""


@pytest.fixture
def streaming(monkeypatch):
    """Let every file stream, a few bytes at a time."""
    monkeypatch.setattr(size, "LARGE", 0)
    monkeypatch.setattr(large, "BLOCK", 150)
    monkeypatch.setattr(text_stream, "HEAD", 400)


def assert_same_table(streamed, careful):
    assert streamed.card == careful.card
    for name in LABELS:
        assert getattr(streamed, name) == getattr(careful, name)
    for name in NUMBERS:
        one, other = getattr(streamed, name), getattr(careful, name)
        assert (one is None) == (other is None)
        if one is not None:
            assert np.allclose(one, other, equal_nan=True, rtol=1e-12)


def sane_wins(games: object, wins: object) -> object:
    return min(games, wins) if isinstance(games, int) and isinstance(wins, int) else ""


def written(table, delimiter: str, end: str, *, sane: bool) -> str:
    lines = [["Card", "Archetype", "Rarity", "Games", "Wins", "Drafted"]]
    lines += [
        [*labels, games, sane_wins(games, wins) if sane else wins, drafted]
        for *labels, games, wins, drafted in table
    ]
    return "".join(delimiter.join(quoted(c, delimiter) for c in line) + end for line in lines)


def both(folder: Path, text: str, **options):
    """Read a table by streaming it, and with all care."""
    path = folder / "cards.csv"
    path.write_bytes(text.encode())
    streamed = inspect_large(path, Choices(**options))
    careful = inspect_cards(text.encode(), name="cards.csv", **options)
    return streamed, careful


DIALECTS = {
    "delimiter": st.sampled_from([",", ";", "\t", "|"]),
    "end": st.sampled_from(["\n", "\r\n"]),
}


@QUICK
@given(table=rows, **DIALECTS)
def test_any_sound_table_is_read_as_with_all_care(table, delimiter, end, tmp_path, streaming):
    text = written(table, delimiter, end, sane=True)
    streamed, careful = both(tmp_path, text, sum_duplicates=True)

    assert streamed is None or streamed.roles == careful.roles
    if streamed is not None and careful.table is not None:
        assert_same_table(streamed.table, careful.table)
        assert streamed.sha256 == careful.sha256
        assert streamed.rows == careful.rows


@QUICK
@given(table=rows, skip_bad=st.booleans(), sum_duplicates=st.booleans(), **DIALECTS)
def test_any_table_shows_the_same_problems(
    table, skip_bad, sum_duplicates, delimiter, end, tmp_path, streaming
):
    text = written(table, delimiter, end, sane=False)
    options = {"skip_bad": skip_bad, "sum_duplicates": sum_duplicates}
    streamed, careful = both(tmp_path, text, **options)

    if streamed is not None and streamed.unclear is None and careful.unclear is None:
        assert streamed.problems == careful.problems
        assert (streamed.table is None) == (careful.table is None)
        if careful.table is not None:
            assert_same_table(streamed.table, careful.table)


HEAD = "card,games,wins\n" + "".join(f"Lamp {n},{20 + n},{9 + n}\n" for n in range(40))


@pytest.mark.parametrize(
    ("row", "place", "words"),
    [
        ("Fox,5,6", "42:3", "wins 6 is more than games 5 for 'Fox'"),
        ("Fox,many,6", "42:2", "a number was wanted, got 'many'"),
        ("Fox,-5,0", "42:2", "games must be 0 or more"),
        ("Fox,5", "42:2", "a row must have 3 cells"),
        ("lamp  3,5,1", "42:1", "'Lamp 3' is listed twice, first on line 5"),
        ("Fox\u202e,5,1", "42:1", "the invisible character U+202E"),
        ("Fox,0x10,1", "42:2", "a number was wanted, got '0x10'"),
    ],
)
def test_a_cell_that_does_not_fit_is_placed(row, place, words, tmp_path, streaming):
    streamed, careful = both(tmp_path, HEAD + row + "\nVine,9,3\n")
    skipped, _ = both(tmp_path, HEAD + row + "\nVine,9,3\n", skip_bad=True)

    (problem,) = streamed.problems
    assert problem.place == f"cards.csv:{place}"
    assert words in problem.message
    assert streamed.problems == careful.problems
    assert skipped.table.card[-1] == "Vine"
    assert len(skipped.table) == 41
    assert skipped.notes[-1].startswith("left out: cards.csv:42")


def test_what_bears_on_all_rows_is_left_to_the_careful_reader(tmp_path, streaming, monkeypatch):
    total, decimal = HEAD + "Total,1580,1140\n", HEAD.replace(",", ";") + "Fox;1.204,0;3\n"

    assert inspect_large(_kept(tmp_path, total), Choices()) is None
    assert inspect_large(_kept(tmp_path, decimal), Choices()) is None
    assert read_cards(_kept(tmp_path, total)).card[-1] == "Lamp 39"
    monkeypatch.setattr(large, "MOST_BYTES", 10)
    with pytest.raises(
        TableError, match="'Total' reads like a total of the other rows; too large"
    ):
        inspect_large(_kept(tmp_path, total), Choices())
    with pytest.raises(TableError, match=r"the first rows show no decimal mark, '1\.204,0'"):
        inspect_large(_kept(tmp_path, decimal), Choices())


def _kept(folder: Path, text: str) -> Path:
    path = folder / "cards.csv"
    path.write_text(text)
    return path


def test_a_table_without_wins_is_left_to_the_careful_reader(tmp_path, streaming):
    rows = "".join(f"Lamp {n},20,{5 * (n % 9)}%\n" for n in range(40))
    path = _kept(tmp_path, "card,games,win rate\n" + rows)

    assert inspect_large(path, Choices()) is None
    assert read_cards(path).wins[3] == 3


def test_a_rate_beside_counts_is_said_to_be_checked_in_the_head_only(tmp_path, streaming):
    rows = "".join(f"Lamp {n},{20 + n},{10},{1000 / (20 + n):.1f}%\n" for n in range(40))
    streamed, careful = both(tmp_path, "card,games,wins,win rate\n" + rows)

    assert_same_table(streamed.table, careful.table)
    assert "win rate was checked against wins / games in the first" in " ".join(streamed.notes)


def test_averages_and_further_counts_come_along(tmp_path, streaming):
    head = "card,archetype,games,wins,unheld games,unheld wins,mean pick,player rate\n"
    rows = [
        f"Lamp {n % 9},Kites,{n},{n // 2},{n + 3},{n // 3},{1 + n % 5}.5,0.5{n % 9}"
        for n in range(40)
    ]
    streamed, careful = both(tmp_path, head + "\n".join(rows) + "\n", sum_duplicates=True)

    assert_same_table(streamed.table, careful.table)
    assert streamed.table.mean_pick is not None


def test_other_encodings_and_gzip_stream_too(tmp_path, streaming):
    text = HEAD.replace("Lamp", "K\u00e4fer")
    for data in (text.encode("cp1252"), text.encode("utf-16"), gzip.compress(text.encode())):
        path = tmp_path / "cards.csv"
        path.write_bytes(data)
        found = inspect_large(path, Choices())

        assert found.table.card == inspect_cards(data).table.card


def test_bytes_that_are_no_text_are_refused_by_their_line(tmp_path, streaming):
    path = tmp_path / "cards.csv"
    for bad, words in (
        (b"F\xffx,5,1\n", "UTF-8 up to line 42"),
        (b"F\0x,5,1\n", "line 42 holds a zero byte"),
    ):
        path.write_bytes(HEAD.encode() + bad)
        with pytest.raises(TableError, match=words):
            inspect_large(path, Choices())
    assert path.exists()


def test_a_question_about_the_head_is_asked(tmp_path, streaming):
    odd = "h0,h1,h2\n" + "".join(f"Card {n},{50 + n},{40 - n}\n" for n in range(30))
    streamed, careful = both(tmp_path, odd)

    assert str(streamed.unclear) == str(careful.unclear)
    assert streamed.table is None


def test_many_problems_stop_the_reading(tmp_path, streaming, monkeypatch):
    monkeypatch.setattr(large, "MOST_FINDINGS", 5)
    path = _kept(tmp_path, HEAD + "".join(f"Fox {n},1,2\n" for n in range(200)))

    assert 5 <= len(inspect_large(path, Choices()).problems) < 30
    notes = inspect_large(path, Choices(skip_bad=True)).notes
    assert notes[-1].startswith("left out: 200 rows, lines ")
    assert " and 195 more; the first, " in notes[-1]


def test_a_large_table_is_read_without_the_user_noticing(tmp_path, monkeypatch):
    monkeypatch.setattr(size, "LARGE", 0)
    table = read_cards(_kept(tmp_path, HEAD))

    assert_same_table(table, read_cards(HEAD.encode()))
    assert table.source.sha256 == read_cards(HEAD.encode()).source.sha256


@QUICK
@given(table=rows, times=st.integers(2, 9), **DIALECTS)
def test_rows_that_repeat_are_added_up_as_with_all_care(
    table, times, delimiter, end, tmp_path, streaming
):
    plain = [(*row[:3], *whole_numbers(row[3:])) for row in table]
    text = written(times * plain, delimiter, end, sane=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(byte_keys, "_scattered", lambda words: words[:, 0] % np.uint64(3) << 62)
        streamed, careful = both(tmp_path, text, sum_duplicates=True)

    if streamed is not None and careful.table is not None:
        assert_same_table(streamed.table, careful.table)
        assert streamed.rows == careful.rows == times * len(plain)
        again = streamed.rows - len(streamed.table)
        assert streamed.notes[-1].startswith(f"{again:,} rows were added to an earlier row")


def test_a_card_stands_where_it_stood_first_though_its_key_had_to_move(tmp_path, streaming):
    lamps = "".join(f"Lamp {n},9,3\n" for n in range(40))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(byte_keys, "_scattered", lambda words: words[:, 0] % np.uint64(2) << 63)
        text = f"card,games,wins\n{lamps}ax,9,3\nay,9,3\n{lamps}az,9,3\nbx,9,4\naz,9,3\n"
        streamed, careful = both(tmp_path, text, sum_duplicates=True)

    assert streamed.table.card[-4:] == ("ax", "ay", "az", "bx")
    assert_same_table(streamed.table, careful.table)


def whole_numbers(cells) -> list[int]:
    return [cell if isinstance(cell, int) else 5 for cell in cells]


def test_rows_that_unused_columns_tell_apart_are_not_added_up_unasked(tmp_path, streaming):
    rows = "".join(f"Lamp {n // 2},{'AB'[n % 2]},{20 + n},9\n" for n in range(40))
    streamed, careful = both(tmp_path, "card,edition,games,wins\n" + rows)

    assert streamed.problems[0].place == careful.problems[0].place
    assert streamed.problems[0].fix == careful.problems[0].fix
    assert streamed.sha256 == careful.sha256


def test_a_table_of_which_no_row_is_left_is_refused(tmp_path, streaming):
    rows = "".join(f"Lamp {n},{n},{n + 1}\n" for n in range(40))
    streamed, _ = both(tmp_path, "card,games,wins\n" + rows, skip_bad=True)

    assert streamed.table is None
    assert streamed.problems[-1].message == "no row is left, of 40"


def test_a_number_that_means_one_thing_or_another_is_asked_about(tmp_path, streaming):
    rows = "".join(f"Lamp {n},{20 + n},9,3\n" for n in range(40))
    streamed, careful = both(tmp_path, f"card,games,wins,mean pick\n{rows}Fox,9,4,1.204\n")

    assert streamed.unclear is not None
    assert streamed.table is None
    assert streamed.sha256 == careful.sha256


def test_odd_blanks_become_plain_ones_however_large_the_file(streaming, tmp_path: Path):
    path = tmp_path / "cards.csv"
    lines = [f"Card\u00a0{n},Kites,{n + 9},{n}" for n in range(40)]
    path.write_text("\n".join(["Card,Archetype,Games,Wins", *lines, "card 3,Moths,9,4", ""]))
    streamed, careful = inspect_large(path, Choices()), read_cards(path.read_bytes())

    assert streamed is not None
    assert streamed.table is not None
    assert_same_table(streamed.table, careful)
    assert "Card 3" in careful.card
    said = [
        [note for note in table.source.notes if "odd blanks" in note]
        for table in (streamed.table, careful)
    ]
    assert said[0] == said[1]
    assert len(said[0]) == 1


LABELLED = "card,archetype,rarity,games,wins\n" + "".join(
    f"Lamp {n},Kites,rare,{20 + n},{9 + n}\n" for n in range(40)
)


@pytest.mark.parametrize("label", ["F\u202ex", "\u200b", "a" * 300, "\x1c", "F\u200bx"])
def test_a_label_is_what_it_spells_whatever_that_is(label, tmp_path, streaming):
    rows = f"Lamp 1,{label},rare,7,2\nLamp 1,,{label},5,1\nLamp 1,{label},rare,7,2\n"
    streamed, careful = both(tmp_path, LABELLED + rows, sum_duplicates=True)

    assert_same_table(streamed.table, careful.table)
    assert streamed.rows == careful.rows == 43


def test_a_finding_spells_a_name_as_the_file_does_first(tmp_path, streaming):
    streamed, careful = both(tmp_path, HEAD + "lamp  7,5,6\n", sum_duplicates=True)

    assert streamed.problems == careful.problems
    assert "for 'Lamp 7'" in streamed.problems[0].message


@pytest.mark.parametrize(
    "rows",
    [
        'Fox,1.204,3\nVine,9,3\nLamb,9,3\nMoth,9,3\nWick,9,3\nReed,9,3\nOx,"1,204",3\n' * 4,
        'Fox,"4,0",3\n',
    ],
)
def test_marks_of_which_one_settles_the_other_are_left_to_care(rows, tmp_path, streaming):
    head = HEAD.replace("Lamp 3,23,12", "Lamp 3,23.0,12") if "4,0" in rows else HEAD

    assert inspect_large(_kept(tmp_path, head + rows), Choices()) is None


def test_a_head_of_two_number_styles_is_left_to_care(tmp_path, streaming):
    head = HEAD.replace("Lamp 3,23,", "Lamp 3,23.0,").replace("Lamp 4,24,", 'Lamp 4,"24,0",')

    assert inspect_large(_kept(tmp_path, head), Choices()) is None


def test_a_count_that_may_be_a_thousand_times_as_much_is_no_whole_number(tmp_path, streaming):
    head = "card,games,wins,mean pick\n" + "".join(f"Lamp {n},20,9,3.5\n" for n in range(40))
    streamed, careful = both(tmp_path, head + "Fox,1.000,1,2.5\n")

    assert streamed.problems == careful.problems
    assert "games 1.000 could be 1 or 1000" in streamed.problems[0].message


def test_utf_8_with_a_broken_letter_is_not_read_as_another_encoding(tmp_path, streaming):
    path = tmp_path / "cards.csv"
    path.write_bytes(
        HEAD.encode().replace(b"Lamp 3,", b"L\xe4mp 3,") + "Käfer,9,3\nMühle,9,3\n".encode()
    )
    with pytest.raises(TableError, match=r"UTF-8 but for line 5, byte 2 \(0xE4\)"):
        inspect_large(path, Choices())


def test_blocks_of_which_every_row_is_bad_add_nothing(tmp_path, streaming):
    text = HEAD + 40 * "Fox,5,6\n" + "Vine,9,3\n"
    streamed, careful = both(tmp_path, text, sum_duplicates=True, skip_bad=True)

    assert_same_table(streamed.table, careful.table)
    assert streamed.rows == 81


def test_columns_may_each_have_a_number_style_of_their_own(tmp_path, streaming):
    rows = "".join(f"Lamp {n};{20 + n}.0;{9 + n},0\n" for n in range(60))
    streamed, careful = both(tmp_path, "card;games;wins\n" + rows)

    assert streamed.is_mixed
    assert_same_table(streamed.table, careful.table)
