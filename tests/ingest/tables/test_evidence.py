"""What is known of a candidate's strength."""

import pytest

from tests.ingest.sheets import sheet
from winrate_tools.ingest.checks.check import Columns, check_rows
from winrate_tools.ingest.roles.kinds import CANDIDATES
from winrate_tools.ingest.tables.evidence import STEPS, candidate, demand_evidence, has_record
from winrate_tools.ingest.tables.pool_columns import PoolCards
from winrate_tools.pools import Candidate, PoolCard

HEADER = "card,games,wins,baseline,guess,spread"


def columns(*rows: str, header: str = HEADER) -> Columns:
    seen = sheet(header, *rows, kind=CANDIDATES)
    where = {name: n for n, name in enumerate(header.split(","), 1)}
    return demand_evidence(check_rows(seen, where, STEPS, total="games"))


def problems(*rows: str, header: str = HEADER) -> list[tuple[str, str]]:
    found = [one.problem for one in columns(*rows, header=header).findings]
    return [(problem.place.removeprefix("cards.csv:"), problem.message) for problem in found]


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("A,90,50,.54,,", Candidate(PoolCard("A", 2), 90, 50, 0.54)),
        ("A,,,,like,", Candidate(PoolCard("A", 2), guess="like")),
        ("A,,,,stärker,3%", Candidate(PoolCard("A", 2), guess="stronger", spread=0.03)),
        ("A,0,0,.54,weaker,", Candidate(PoolCard("A", 2), guess="weaker")),
        ("A,90,50,.54,like,0.02", Candidate(PoolCard("A", 2), 90, 50, 0.54, "like", 0.02)),
        ("A,90,0,54%,,", Candidate(PoolCard("A", 2), 90, 0, 0.54)),
    ],
)
def test_a_row_makes_a_candidate(row: str, wanted: Candidate):
    told = columns(row, "B,,,,like,")

    assert told.findings == ()
    assert candidate(told, PoolCards.of(told), 0, 2) == wanted


@pytest.mark.parametrize(
    ("word", "guess"),
    [
        *(("Weaker", "weaker"), ("same", "like"), ("besser", "stronger")),
        *(("plus fort", "stronger"), ("moins forte", "weaker"), ("Pareille", "like")),
        *(("comme", "like"), ("moyenne", "like"), ("gleich", "like"), ("schwächer", "weaker")),
        *(("stärker", "stronger"), ("más débil", "weaker"), ("parecida", "like")),
        *(("peggiore", "weaker"), ("simile", "like"), ("migliore", "stronger")),
    ],
)
def test_a_guess_is_understood_in_several_languages(word: str, guess: str):
    told = columns(f"A,,,,{word},")

    assert candidate(told, PoolCards.of(told), 0, 1).guess == guess


@pytest.mark.parametrize(
    ("row", "place", "message"),
    [
        ("A,,,,,", "5", "games and wins, or a guess, were wanted for 'A', got neither"),
        ("A,0,0,.5,,", "5", "games and wins, or a guess, were wanted for 'A', got neither"),
        ("A,9,,.5,,", "5", "games and wins, or a guess, were wanted for 'A', got neither"),
        ("A,9,4,,,", "4", "a baseline was wanted beside games, got a blank cell for 'A'"),
        ("A,9,4,0,,", "4", "baseline must lie between 0 and 1, got 0 for 'A'"),
        ("A,9,4,1,,", "4", "baseline must lie between 0 and 1, got 1 for 'A'"),
        ("A,9,10,.5,,", "3", "wins 10 is more than games 9 for 'A'"),
        ("A,,,,maybe,", "5", "guess must be weaker, like or stronger, got 'maybe' for 'A'"),
        ("A,,,,like,0", "6", "spread must lie between 0 and 1, got 0 for 'A'"),
    ],
)
def test_a_row_without_evidence_is_reported_once(row: str, place: str, message: str):
    assert problems(row, "B,90,45,.5,,") == [(f"2:{place}", message)]


def test_a_missing_column_of_baselines_is_reported_once_and_cannot_be_skipped():
    told = columns("A,9,4", "B,8,4", "C,0,0", header="card,games,wins")

    lone, neither = told.findings[::-1]
    assert lone.problem.message == (
        "a column baseline was wanted beside games; 2 rows need one for 'A'"
    )
    assert (lone.row, lone.fatal) == (None, True)
    assert lone.problem.place == "cards.csv:2:2"
    assert neither.problem.place == "cards.csv:4:2"


def test_without_columns_of_evidence_the_name_is_pointed_at():
    assert problems("A,1", header="card,copies")[0][0] == "2:1"


def test_losses_or_a_rate_make_a_record():
    by_losses = columns("A,5,4,.5", header="card,wins,losses,baseline")
    by_rate = columns("A,10,50%,.5", header="card,games,win_rate,baseline")

    assert candidate(by_losses, PoolCards.of(by_losses), 0, 1).games == 9
    assert candidate(by_rate, PoolCards.of(by_rate), 0, 1).wins == 5


def test_a_baseline_from_losses_is_asked_for_where_wins_stand():
    assert problems("A,5,4", header="card,wins,losses")[0][0] == "2:2"


def test_a_record_needs_games_and_wins():
    told = columns("A,9,4,.5,,", "B,0,0,.5,like,", "C,9,,.5,like,", "D,,,,like,")

    assert [has_record(told, row) for row in range(4)] == [True, False, False, False]
