"""Reading a list of candidates."""

from pathlib import Path

import pytest

from winrate_tools.errors import MappingError, TableError
from winrate_tools.ingest.roles.memory import remember_mapping
from winrate_tools.ingest.tables.candidates import inspect_candidates, read_candidates
from winrate_tools.pools import Candidate, PoolCard

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"
HEADER = "card,copies,games,wins,baseline,guess,spread\n"


def test_the_sample_candidates_are_read():
    table = read_candidates(SAMPLE / "candidates.csv")
    guessed = [one for one in table.candidates if one.guess]

    assert len(table.candidates) == 40
    assert len(guessed) == 8
    assert all(one.games and one.baseline in {0.515, 0.548} for one in table.candidates[:4])
    assert table.candidates[0].card == PoolCard(
        "Ember Pantry",
        3,
        "Hearth",
        "common",
        "stall",
        0.4,
        archetypes=("Candlelit Supper", "Recipe Book", "Honey & Thyme"),
    )
    assert table.source.notes == ()
    assert table.places[0] == "candidates.csv:2"


def test_a_record_is_found_by_arithmetic_where_headers_say_nothing():
    rows = [f"New {n},{100 + n},{50 + n},{(50 + n) / (100 + n):.3f},.5" for n in range(9)]
    table = read_candidates("\n".join(["h0,h1,h2,h3,Baseline", *rows, ""]).encode())

    assert table.candidates[0] == Candidate(PoolCard("New 0", 1), 100, 50, 0.5)


def test_copies_are_one_where_the_table_does_not_say():
    without = read_candidates(b"card,guess\nAsh Vine,like\nTin Moth,weaker\n")
    blank = read_candidates((HEADER + "A,,,,,like,\nB,4,,,,like,\nC,0,,,,like,\n").encode())

    assert [one.card.copies for one in without.candidates] == [1, 1]
    assert without.source.notes == ()
    assert [one.card.copies for one in blank.candidates] == [1, 4, 0]
    assert blank.source.notes == ("copies are not known, 1 was taken: line 2",)


@pytest.mark.parametrize(
    ("row", "place", "message"),
    [
        ("A,1,,,,,", "6", "games and wins, or a guess, were wanted for 'A', got neither"),
        ("A,1,9,5,,,", "5", "a baseline was wanted beside games"),
        ("A,1.5,,,,like,", "2", "copies must be a whole number, got 1.5"),
        ("A,1,,,,fine,", "6", "guess must be weaker, like or stronger, got 'fine'"),
        ("old  card,1,,,,like,", "1", "'Old Card' is listed twice, first on line 2"),
    ],
)
def test_problems_stand_under_their_cell(row: str, place: str, message: str):
    text = f"{HEADER}Old Card,1,,,,like,\n{row}\n"

    [problem] = inspect_candidates(text.encode()).problems

    assert problem.place == f"<memory>:3:{place}"
    assert problem.message.startswith(message)


def test_every_problem_is_told_in_one_error_and_can_be_left_out():
    text = f"{HEADER}A,1,,,,,\nB,1,9,5,,,\nC,2,9,5,.5,,\n".encode()
    with pytest.raises(TableError, match="2 problems"):
        read_candidates(text)

    table = read_candidates(text, skip_bad=True)
    assert [one.card.card for one in table.candidates] == ["C"]
    assert table.places == ("<memory>:4",)
    assert len(table.source.notes) == 2


def test_a_missing_column_of_baselines_stops_everything():
    with pytest.raises(TableError, match="a column baseline was wanted beside games"):
        read_candidates(b"card,games,wins\nA,9,4\nB,8,3\n", skip_bad=True)


def test_records_of_a_card_from_two_places_are_added_up_on_request():
    text = f"{HEADER}A,2,100,60,.5,,\nB,1,,,,like,\nA,1,300,160,.54,,\n".encode()

    first, second = read_candidates(text, sum_duplicates=True).candidates

    assert (first.games, first.wins, first.card.copies) == (400, 220, 2)
    assert first.baseline == pytest.approx((100 * 0.5 + 300 * 0.54) / 400)
    assert second.guess == "like"


def test_a_guess_cannot_be_added_to_a_record():
    text = f"{HEADER}A,2,100,60,.5,,\nA,1,,,,like,\n".encode()

    [problem] = inspect_candidates(text, sum_duplicates=True).problems

    assert problem.place == "<memory>:3:1"
    assert problem.message == "a guess cannot be added to line 2"


@pytest.mark.parametrize("data", [b"card,copies\nA,1\nB,2\n", b"card,note\nA,x\nB,y\n"])
def test_a_table_without_evidence_is_asked_for_it(data: bytes):
    wanted = r"which column holds games and wins \(or guess\)"
    with pytest.raises(MappingError, match=wanted) as caught:
        read_candidates(data)

    assert str(caught.value).endswith(
        'columns={"card": "HEADER", "games": "HEADER", "wins": "HEADER"}'
    )


def test_a_pool_is_recognised():
    with pytest.raises(MappingError, match="its headers are those of a pool"):
        read_candidates(SAMPLE / "pool.csv")


def test_a_remembered_mapping_is_followed(tmp_path: Path):
    path = tmp_path / "new.csv"
    path.write_text("a,b\nAsh Vine,like\nTin Moth,weaker\n", "utf-8")
    remember_mapping(tmp_path, ("a", "b"), {"card": "a", "guess": 2})

    assert read_candidates(path).candidates[1].guess == "weaker"


def test_a_column_of_guesses_is_known_by_its_cells():
    text = "carte,exemplaires,avis\nLampe,2,comme\nRame,1,moins forte\nCloche,1,bof\n"
    found = inspect_candidates(text.encode())

    assert found.roles["guess"] == "avis"
    assert "its cells are guesses: comme, moins forte, bof" in found.assignments[-1].why
    assert [problem.message for problem in found.problems] == [
        "guess must be weaker, like or stronger, got 'bof' for 'Cloche'"
    ]


def test_of_two_columns_of_guesses_neither_is_taken():
    text = b"card,a,b\nAsh,like,like\nTin,weaker,stronger\n"

    with pytest.raises(MappingError) as asked:
        read_candidates(text)
    assert '\n  guess alone would do in their place: columns={"guess": "HEADER"}\n' in str(
        asked.value
    )
    assert [one.guess for one in read_candidates(text, columns={"guess": "b"}).candidates] == [
        "like",
        "stronger",
    ]


def test_a_column_of_guesses_may_be_left_out():
    text = b"card,games,wins,baseline,x\nAsh,9,4,.5,like\nTin,8,4,.5,weaker\n"

    assert [one.guess for one in read_candidates(text, columns={"guess": 0}).candidates] == [
        None,
        None,
    ]
