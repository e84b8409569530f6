"""What is said about a large table, against what is said about the same one read with care."""

from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.large import large, size
from winrate_tools.ingest.large.large import Choices, inspect_large
from winrate_tools.ingest.large.large_notes import LabelRows
from winrate_tools.ingest.tables.cards import inspect_cards
from winrate_tools.ingest.text import byte_keys, text_stream

HEAD = "card,archetype,rarity,games,wins\n"
LAMPS = "".join(f"Lamp {n % 70},Moorlichter,common,{20 + n},{9 + n}\n" for n in range(70))
MANY = "".join(f"Wick {n},Kites,common,9,4\n" for n in range(40))


@pytest.fixture(autouse=True)
def _streaming(monkeypatch):
    """Let every file stream, a few bytes at a time."""
    monkeypatch.setattr(size, "LARGE", 0)
    monkeypatch.setattr(large, "BLOCK", 150)
    monkeypatch.setattr(text_stream, "HEAD", 800)


def both(folder: Path, text: str, **options):
    """Read a table by streaming it, and with all care."""
    path = folder / "cards.csv"
    path.write_text(text)
    careful = inspect_cards(text.encode(), name="cards.csv", **options)
    return inspect_large(path, Choices(**options)), careful


def assert_same(streamed, careful):
    assert said(streamed) == said(careful)
    assert streamed.problems == careful.problems
    assert streamed.table.card == careful.table.card
    assert streamed.table.games.tolist() == careful.table.games.tolist()


def said(seen) -> list[str]:
    return sorted(seen.notes)


@pytest.mark.parametrize("times", [1, 3])
@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("Kites total,,,360,160\n", "add up the other rows of the same archetype: line 112"),
        ("Kites total,Kites,,360,160\n", "the same archetype: line 112 ('Kites total')"),
        ("Kites,,,360,160\n", "the same archetype: line 112 ('Kites')"),
        ("Sum of Kites,Kites,common,360,160\n", "the same archetype: line 112"),
        ("all common,,common,4175,3205\n", "of the same rarity: line 112 ('all common')"),
    ],
)
def test_a_row_that_adds_up_those_of_a_label_is_left_out(rows, words, times, tmp_path):
    counts = [int(cell) for cell in rows.strip().split(",")[3:]]
    sums = ",".join([*rows.split(",")[:3], *(str(times * n) for n in counts)]) + "\n"
    body = times * (LAMPS + MANY)
    streamed, careful = both(tmp_path, HEAD + body + sums, sum_duplicates=times > 1)

    assert_same(streamed, careful)
    assert words.replace("line 112", f"line {2 + times * 110}") in " ".join(streamed.notes)
    assert len(streamed.table) == 110


@pytest.mark.parametrize(
    "row",
    [
        "Kites total,,,360,161\n",
        "Kites total,,,361,160\n",
        "Kites,Moorlichter,common,360,160\n",
        "Wicks,Kites,common,360,160\n",
    ],
)
def test_a_row_that_adds_up_nothing_stays(row, tmp_path):
    streamed, careful = both(tmp_path, HEAD + LAMPS + MANY + row)

    assert_same(streamed, careful)
    assert len(streamed.table) == 111


def test_a_sum_counts_rows_whose_wins_nobody_knows(tmp_path):
    body = LAMPS + MANY + "Reed,Kites,common,7,\nReed,Kites,common,5,3\n"
    streamed, careful = both(
        tmp_path, f"{HEAD}{body}Kites total,,,372,163\n", sum_duplicates=True
    )

    assert_same(streamed, careful)
    assert "line 114 ('Kites total')" in " ".join(streamed.notes)


@pytest.mark.parametrize("sum_duplicates", [True, False])
@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("Fox,Moorlicher,common,8,3\n", "archetype 'Moorlicher' stands in 1 row only"),
        ("Fox,Kites,comon,8,3\n", "rarity 'comon' stands in 1 row only (first on line 72)"),
    ],
)
def test_a_rare_label_like_a_frequent_one_is_named(row, words, sum_duplicates, tmp_path):
    text = HEAD + LAMPS + row + MANY
    streamed, careful = both(tmp_path, text, sum_duplicates=sum_duplicates)

    assert_same(streamed, careful)
    assert words in " ".join(streamed.notes)


def test_labels_are_counted_row_by_row_where_rows_repeat(tmp_path):
    slips = "Fox,Moorlicher,comon,8,3\nLamp 2,Moorlicher,comon,8,3\n"
    text = HEAD + 5 * LAMPS + slips + MANY + 'Fox,"Moorlicher",comon,8,3\n'
    streamed, careful = both(tmp_path, text, sum_duplicates=True)

    assert said(streamed) == said(careful)
    assert "'comon' stands in 3 rows only (first on line 352)" in " ".join(streamed.notes)
    assert "'Moorlicher' stands in 3 rows only (first on line 352)" in " ".join(streamed.notes)


def test_a_rarity_that_a_known_card_has_once_is_a_slip_too(tmp_path):
    text = HEAD + 3 * LAMPS + "Lamp 2,Moorlichter,comon,8,3\n" + MANY
    streamed, careful = both(tmp_path, text, sum_duplicates=True)
    (slip,) = (note for note in streamed.notes if "stands in 1 row only" in note)

    assert "'comon'" in slip
    assert "(first on line 212)" in slip
    assert streamed.notes == careful.notes


def test_words_for_an_unknown_number_are_counted(tmp_path):
    rows = "Fox,Kites,common,n/a,\nMoth,Kites,common,?,?\nReed,Kites,common, ?,\n"
    streamed, careful = both(tmp_path, HEAD + LAMPS + rows + MANY + 'Ox,Kites,"common",n/a,\n')

    assert said(streamed) == said(careful)
    assert "games: 4 cells taken as unknown: 'n/a' (2), '?' (2)" in streamed.notes
    assert "wins: 1 cell taken as unknown: '?' (1)" in streamed.notes


def test_wins_without_games_are_counted_once_with_their_first_line(tmp_path):
    rows = "Fox,Kites,common,,3\n" + MANY + "Moth,Kites,common,,3\nOx,Kites,common,?,3\n"
    streamed, careful = both(tmp_path, HEAD + LAMPS + rows)

    assert said(streamed) == said(careful)
    assert "wins without games in 3 rows (first on line 72): taken as unknown" in said(streamed)


def test_an_unsettled_number_style_is_said_once_a_column(tmp_path):
    rows = "Fox,Kites,common,1.204,3\nMoth,Kites,common,2.204,1.003\nOx,Kites,common,3.204,3\n"
    streamed, careful = both(tmp_path, HEAD + LAMPS + MANY + rows)

    assert_same(streamed, careful)
    assert len(said(streamed)) == 2
    assert "games 1.204 on line 112 was read as 1204" in " ".join(streamed.notes)


@given(st.lists(st.lists(st.integers(-1, 4), min_size=1), min_size=1, max_size=4))
def test_label_rows_count_each_label_and_keep_its_first_line(blocks):
    seen, line = LabelRows(), 1
    for block in blocks:
        seen.add(np.array(block), line + np.arange(len(block)))
        line += len(block)
    codes = [code for block in blocks for code in block]

    assert seen.rows.tolist() == [codes.count(code) for code in range(len(seen.rows))]
    assert len(seen.rows) == max(codes) + 1
    known = np.flatnonzero(seen.rows).tolist()
    assert [seen.line[code] for code in known] == [1 + codes.index(code) for code in known]


def test_labels_are_counted_though_keys_had_to_move(tmp_path, monkeypatch):
    monkeypatch.setattr(byte_keys, "_scattered", lambda words: words[:, 0] % np.uint64(2) << 63)
    lamps = "".join(f"Lamp {n},common,9,3\n" for n in range(130))
    moved = "".join(f"a{n},comon,9,3\nb{n},common,9,4\n" for n in range(6))
    again = "".join(f"b{n},common,9,4\n" for n in range(6))
    text = f"card,rarity,games,wins\n{5 * lamps}{moved}{9 * again}"
    streamed, careful = both(tmp_path, text, sum_duplicates=True)

    assert_same(streamed, careful)
    assert "rarity 'comon' stands in 6 rows only (first on line 652)" in streamed.notes[0]


ROWS = st.lists(
    st.tuples(
        st.sampled_from(["Fox", "Moth", "Reed", ""]),
        st.sampled_from(["Kites", "Looms", "?"]),
        st.sampled_from(["rare", "rare", "odd", ""]),
        st.integers(0, 30),
        st.integers(-1, 30),
    ),
    min_size=1,
    max_size=25,
)


@given(ROWS, st.booleans(), st.booleans())
def test_notes_are_those_of_a_careful_look(rows, skip_bad: bool, sum_duplicates: bool):
    body = "".join(f"{c},{a},{r},{games},{games - lost}\n" for c, a, r, games, lost in rows)
    with TemporaryDirectory() as folder:
        options = {"skip_bad": skip_bad, "sum_duplicates": sum_duplicates}
        streamed, careful = both(Path(folder), HEAD + body, **options)

    assert (streamed is None) or streamed.notes == careful.notes
    assert (streamed is None) or streamed.problems == careful.problems
