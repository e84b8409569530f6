"""A plan, made in a notebook."""

import pytest

from winrate_tools.decide.plan.plan import make_plan
from winrate_tools.errors import SettingError
from winrate_tools.goals import Goals
from winrate_tools.jobs.plan import plan
from winrate_tools.pools import CandidateTable
from winrate_tools.report.plan.plan_sections import plan_report


def test_it_finds_the_plan_for_these_goals(ranking, pool, candidates):
    made = plan(ranking, pool, candidates, Goals(changes=2, resolves=5), slack=1)

    assert made.goals == Goals(changes=2, resolves=5, slack=1)
    assert made.found == make_plan(ranking.verdict, pool, candidates, made.goals)
    assert [source.name for source in made.sources] == ["cards.csv", "pool.csv", "new.csv"]
    assert made.document == plan_report(made.found, "pool.csv")


def test_rows_are_the_moves_what_goes_out_first(ranking, pool, candidates):
    made = plan(ranking, pool, candidates, changes=2, resolves=5)
    rows = [(row["card"], row["copies_before"], row["copies_after"]) for row in made.rows]

    assert rows == [(move.card.card, move.before, move.after) for move in made.found.moves]
    assert rows[1] == ("Ivy Oar", 0, 2)
    assert [tuple(row) for row in made.rows] == [made.columns] * 2
    assert made.to_frame()["cost"].tolist()[1] == 1


def test_it_says_how_often_the_plan_was_made_again(ranking, pool, candidates):
    told = []

    made = plan(ranking, pool, candidates, changes=2, resolves=5, progress=told.append)

    assert told == [1, 2, 3, 4, 5]
    assert made.found == plan(ranking, pool, candidates, changes=2, resolves=5).found


def test_without_candidates_only_copies_change(ranking, pool):
    made = plan(ranking, pool, changes=0)
    same = make_plan(ranking.verdict, pool, CandidateTable([]), made.goals)

    assert made.found == same
    assert made.rows == []
    assert list(made.to_frame().columns) == list(made.columns)


def test_an_aim_out_of_bounds_or_unknown_is_refused(ranking, pool):
    with pytest.raises(SettingError, match="changes must be"):
        plan(ranking, pool, changes=-1)
    with pytest.raises(TypeError, match="there is no setting 'bugdet'; Goals lists them"):
        plan(ranking, pool, bugdet=3)
