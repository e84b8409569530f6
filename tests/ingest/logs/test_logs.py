"""Game logs to counts, against counts made the plain way."""

import gzip
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.ingest.logs_on_disk import CARDS, Game, counted, games, log_lines, written
from winrate_tools.errors import MappingError, SettingError, TableError
from winrate_tools.ingest.logs import logs
from winrate_tools.ingest.logs.logs import count_logs
from winrate_tools.ingest.text import blocks, text_stream
from winrate_tools.simulate.history import card_table, design_effect, simulate
from winrate_tools.simulate.logs import log_text, simulate_log
from winrate_tools.simulate.world import World
from winrate_tools.stats.records.overdispersion import design_effect_from_decks

LAYOUTS = ("long", "list", "wide")
QUICK = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def cells(table) -> dict:
    """Counts of a table by card, archetype and band."""
    blank = [None] * len(table)
    keys = zip(table.card, table.archetype or blank, table.skill_band or blank, strict=True)
    counts = (table.games, table.wins, table.unheld_games, table.unheld_wins)
    return dict(
        zip(keys, zip(*(c.astype(int).tolist() for c in counts), strict=True), strict=True)
    )


def tallied(folder: Path, text: str, name: str = "log.csv", **options):
    path = folder / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return count_logs([str(path)], **options)


@pytest.fixture
def small_pieces(monkeypatch):
    """Read a few bytes at a time, so that games run over the ends of blocks."""
    monkeypatch.setattr(blocks, "SIZE", 60)
    monkeypatch.setattr(logs, "FOLDED", 60)
    monkeypatch.setattr(text_stream, "HEAD", 250)


@pytest.mark.parametrize("layout", LAYOUTS)
@QUICK
@given(
    played=games,
    delimiter=st.sampled_from([",", ";", "\t"]),
    end=st.sampled_from(["\n", "\r\n"]),
)
def test_any_log_is_counted_as_by_hand(layout, played, delimiter, end, tmp_path, small_pieces):
    lines = log_lines(played, layout)
    told = {name: number for number, name in enumerate(lines[0][:5], 1)}
    counts = tallied(tmp_path, written(lines, delimiter, end), columns=told).tally

    assert counts.undecided == sum(game.won == "draw" for game in played)
    assert counts.games + counts.undecided == len(played)
    known = cells(counts.card_table()) if counts.games else {}
    assert known == counted(played)


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_log_and_the_counts_of_its_world_are_the_same_table(layout, tmp_path):
    world = World(drafts=20)
    simulation = simulate(world, 5)
    detail = ["archetype", "skill_band"]
    wanted = card_table(simulation, "held", detail, usage=False, unheld=True)
    found = tallied(tmp_path, log_text(simulate_log(world, 5), layout)).tally

    met = {key: cell for key, cell in cells(wanted).items() if cell[0] + cell[2]}
    assert cells(found.card_table()) == met
    whole = found.archetype_table().totals()
    assert dict(zip(whole.archetype, whole.games.tolist(), strict=True)) == {
        archetype.name: games
        for archetype, games in zip(
            world.archetypes, simulation.play.games.sum(axis=1).tolist(), strict=True
        )
        if games
    }


def test_decks_of_a_log_show_the_design_effect_of_its_world(tmp_path):
    world = World(drafts=40)
    runs = tallied(tmp_path, log_text(simulate_log(world, 2))).tally.runs()

    assert runs.games.sum() == simulate(world, 2).play.deck_games.sum()
    assert design_effect_from_decks(*runs) == pytest.approx(
        design_effect(simulate(world, 2)), rel=0.02
    )


def test_a_log_without_hands_counts_decks(tmp_path):
    log = log_text(simulate_log(World(drafts=5), 1), hands=False)
    table = tallied(tmp_path, log).tally.card_table()

    assert table.unheld_games is None
    assert table.games.sum() == 22 * simulate(World(drafts=5), 1).play.games.sum()


def test_several_files_add_up_and_gzip_is_opened(tmp_path):
    one, two = (log_text(simulate_log(World(drafts=3), seed)) for seed in (1, 2))
    (tmp_path / "one.csv").write_text(one)
    (tmp_path / "two.csv.gz").write_bytes(gzip.compress(two.encode()))
    paths = [str(tmp_path / "one.csv"), str(tmp_path / "two.csv.gz")]
    both = count_logs(paths, columns={"game": 0})
    alone = [count_logs([path]).tally.card_table().games.sum() for path in paths]

    assert both.tally.card_table().games.sum() == sum(alone)
    assert set(both.roles) == set(paths)


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_file_given_twice_is_refused_with_the_places(layout, tmp_path):
    path = tmp_path / "log.csv"
    path.write_text(log_text(simulate_log(World(drafts=1), 1), layout))

    with pytest.raises(TableError, match=r"log\.csv:2:1: game '1' is here for the second time"):
        count_logs([str(path), str(path)])
    again = count_logs([str(path), str(path)], skip_bad=True)
    assert again.tally.games == count_logs([str(path)]).tally.games
    assert "rows were left out, first log.csv:2:1" in again.notes[-1]


def test_a_game_seen_by_both_players_counts_once_for_each(tmp_path):
    log = "game,player,won,cards\n1,Ann,yes,Fox|Moth\n1,Bo,no,Fox|Vine\n"
    table = tallied(tmp_path, log).tally.card_table()

    assert dict(zip(table.card, table.games.tolist(), strict=True))["Fox"] == 2
    with pytest.raises(TableError, match="second time"):
        tallied(tmp_path, log, columns={"player": 0})


BAD = (
    ("game,won,cards", "2,maybe,Fox|Vine", 2, "yes or no was wanted"),
    ("game,won,cards", "2,yes,", 3, "the cards of a deck were wanted, got none"),
    ("game,won,cards,held", "2,yes,Fox|Vine,Moth", 4, "more copies of 'Moth'"),
    ("game,won,cards,held", "2,yes,Fox|Vine,Fox|Fox", 4, "more copies of 'Fox'"),
    ("game,won,cards", "2,yes,Fox\u200e\u202e|Vine", 3, "invisible character U\\+202E"),
    ("game,won,cards", "2,yes", 2, "a row must have 3 cells"),
    ("game,won,archetype,cards", f"2,yes,{'x' * 201},Fox|Vine", 3, "at most 200 letters"),
    ("game,won,card", "2,yes,", 3, "a card was wanted"),
    ("game,won,card,held", "2,yes,Fox,perhaps", 4, "yes or no was wanted"),
    ("game,won,card,held", "2,yes,Fox,", 4, "got neither"),
    ("game,won,card", "1,no,Fox", 2, "the same won as on the game's row before"),
    ("game,won,Fox,Moth,Vine", "2,yes,1,two,0", 4, "a number of copies was wanted"),
    ("game,won,Fox,Moth,Vine", "2,yes,1,100,0", 4, "a number of copies was wanted"),
    ("game,won,Fox,Moth,Vine", "2,yes,0,0,0", 3, "got none"),
    ("game,won,Fox,Moth,Fox held,Moth held", "2,yes,1,1,0,2", 6, "more copies of 'Moth'"),
)


def sound_row(header: str, game: int) -> str:
    cells = {"game": str(game), "won": "yes", "archetype": "Kites", "card": "Fox"}
    cells |= {"cards": "Fox|Moth", "held": "1" if "card," in header else "Fox"}
    cells |= {"Fox": "1", "Moth": "1", "Vine": "0", "Fox held": "1", "Moth held": "0"}
    return ",".join(cells[name] for name in header.split(","))


@pytest.mark.parametrize(("header", "row", "cell", "words"), BAD)
@pytest.mark.parametrize("far", [False, True])
def test_what_is_wrong_is_told_with_its_place(header, row, cell, words, far, tmp_path, request):
    if far:
        request.getfixturevalue("small_pieces")
    before = [sound_row(header, 100 + n) for n in range(40 if far else 1)]
    log = "\n".join([header, *before, sound_row(header, 1), row, sound_row(header, 9), ""])
    line = len(before) + 3

    with pytest.raises(TableError, match=words) as told:
        tallied(tmp_path, log)
    (problem,) = told.value.problems
    assert problem.place == f"log.csv:{line}:{cell}"
    assert problem.line == row
    sound = tallied(tmp_path, log, skip_bad=True)
    assert sound.tally.games == len(before) + 2
    assert f"1 rows were left out, first log.csv:{line}:{cell}" in sound.notes[-1]


def test_many_problems_stop_the_reading(tmp_path, small_pieces):
    log = "game,won,cards\n" + "".join(f"{n},maybe,Fox|Vine\n" for n in range(500))

    with pytest.raises(TableError) as told:
        tallied(tmp_path, log)
    assert 100 <= len(told.value.problems) < 200


def test_rows_of_a_game_that_stand_apart_are_refused(tmp_path):
    with pytest.raises(TableError, match="second time") as told:
        tallied(tmp_path, "game,won,card\n1,yes,Fox\n2,no,Fox\n1,yes,Moth\n")
    assert told.value.problems[0].fix.startswith("sort the log by game")


def test_a_numeric_skill_is_cut_where_told_and_never_otherwise(tmp_path):
    rows = "".join(f"{n},yes,{1000 + 10 * n},Fox|Moth\n" for n in range(60))
    log = "game,won,rating,cards\n" + rows

    with pytest.raises(SettingError, match=r"--skill-cuts 1200,1400$"):
        tallied(tmp_path, log)
    table = tallied(tmp_path, log, skill_cuts=[1200, 1400]).tally.card_table()
    assert dict(zip(table.skill_band, table.games.tolist(), strict=True)) == {
        "below 1200": 20, "1200 to 1400": 20, "1400 or more": 20,
    }  # fmt: skip
    with pytest.raises(TableError, match="a number with a decimal point was wanted"):
        tallied(tmp_path, log + "99,yes,good,Fox|Moth\n", skill_cuts=[1200, 1400])
    with pytest.raises(SettingError, match="must ascend, got 2, 1"):
        tallied(tmp_path, log, skill_cuts=[2, 1])


def test_logs_with_and_without_hands_do_not_mix(tmp_path):
    texts = ("game,won,cards,held\n1,yes,Fox|Moth,Fox\n", "game,won,cards\n2,yes,Fox|Moth\n")
    paths = [tmp_path / "a.csv", tmp_path / "b.csv"]
    for path, text in zip(paths, texts, strict=True):
        path.write_text(text)

    for order in (paths, paths[::-1]):
        with pytest.raises(MappingError, match=r"a\.csv says which .* b\.csv does not"):
            count_logs([str(path) for path in order])
    both = count_logs([str(path) for path in paths], columns={"held": 0})
    assert both.tally.card_table().games.tolist() == [2, 2]


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_kept_copy_gives_the_same_counts_and_changes_with_the_log(layout, tmp_path):
    log = log_text(simulate_log(World(drafts=2), 1), layout)
    cache = tmp_path / "cache"
    first = tallied(tmp_path, log, cache=cache)
    second = tallied(tmp_path, log, cache=cache)

    assert len(list(cache.iterdir())) == 1
    assert cells(second.tally.card_table()) == cells(first.tally.card_table())
    assert [r.layout for r in second.roles.values()] == ["long" if layout == "long" else "list"]
    tallied(tmp_path, log.replace("yes", "won", 1), cache=cache)
    assert len(list(cache.iterdir())) == 2


def test_an_unsound_log_leaves_no_copy(tmp_path):
    cache = tmp_path / "cache"
    log = "game,won,cards\n1,yes,Fox|Moth\n2,what,Fox|Moth\n"
    with pytest.raises(TableError):
        tallied(tmp_path, log, cache=cache)
    tallied(tmp_path, log, cache=cache, skip_bad=True)

    assert list(cache.iterdir()) == []


@pytest.mark.parametrize("layout", LAYOUTS)
def test_parquet_is_read_as_the_same_text_is(layout, tmp_path):
    import pandas as pd

    played = [
        Game("yes", "Kites", "new", 1, (("Fox", True), ("Fox", False), ("Ash Vine", True))),
        Game("no", "", "old", 2, (("Tin Moth", False),)),
        Game("yes", "Masks", "old", 2, (("Käfer", True), ("Fox", True))),
    ]
    head, *rows = log_lines(played, layout)
    frame = pd.DataFrame(rows, columns=head)
    if layout == "list":
        for column in ("cards", "held"):
            frame[column] = [cell.split("|") if cell else [] for cell in frame[column]]
    frame["won"] = frame["won"] == "yes"
    frame["archetype"] = frame["archetype"].replace("", None)
    frame.to_parquet(tmp_path / "log.parquet")
    found = count_logs([str(tmp_path / "log.parquet")])

    assert cells(found.tally.card_table()) == counted(played)


def test_a_problem_in_parquet_is_told_by_its_row(tmp_path):
    import pandas as pd

    frame = pd.DataFrame(
        {"game": [1, 2, 3], "won": [1, 2, 0], "cards": [["Fox"], ["Vine"], []]}
    )
    frame.to_parquet(tmp_path / "log.parquet")

    with pytest.raises(TableError) as told:
        count_logs([str(tmp_path / "log.parquet")])
    assert [p.place for p in told.value.problems] == [
        "log.parquet:row 2:2",
        "log.parquet:row 3:3",
    ]


def test_progress_is_told_and_ends_with_the_file(tmp_path, monkeypatch):
    monkeypatch.setattr(blocks, "SIZE", 5000)
    monkeypatch.setattr(text_stream, "HEAD", 5000)
    log = log_text(simulate_log(World(drafts=1), 1))
    told: list[int] = []
    tallied(tmp_path, log, progress=told.append)

    assert len(told) > 1
    assert told == sorted(told)
    assert told[-1] == len(log.encode())


def test_what_nobody_can_tell_is_asked(tmp_path):
    with pytest.raises(MappingError, match=r"who won.*\n.*\n--map won=2"):
        tallied(tmp_path, "game,h,cards\n1,yes,Fox|Moth\n2,no,Fox|Moth\n")
    with pytest.raises(MappingError, match="which rows are of one game"):
        tallied(tmp_path, "won,card\nyes,Fox\nno,Moth\n")
    with pytest.raises(MappingError, match="could both be won"):
        tallied(tmp_path, "game,won,result,cards\n1,yes,1,Fox|Moth\n")


def test_a_log_of_draws_alone_is_told_so(tmp_path):
    found = tallied(tmp_path, "game,won,cards\n1,draw,Fox|Moth\n")

    assert found.notes == ("no game was counted", "1 games that nobody won were left out")
    assert len(found.tally.card_table()) == 0


def test_other_encodings_and_titles_are_read(tmp_path):
    log = "Our log\n\nPartie;Sieg;Karten\n1;ja;Käfer|Fox\n2;nein;Käfer\n"
    for encoding in ("utf-8-sig", "utf-16", "cp1252"):
        table = tallied(tmp_path, log.encode(encoding)).tally.card_table()

        assert dict(zip(table.card, table.games.tolist(), strict=True)) == {
            "Käfer": 2,
            "Fox": 1,
        }
    assert len(CARDS) == np.unique(CARDS).size
