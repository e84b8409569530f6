"""Load, judge, say."""

from pathlib import Path

import numpy as np
import pytest

from winrate_tools.columns import RANKING_COLUMNS
from winrate_tools.errors import OutputError, SettingError
from winrate_tools.jobs.power import power
from winrate_tools.ranking import Ranking, rank, write_report
from winrate_tools.settings import Settings
from winrate_tools.tables import CardTable, Source

SOURCE = Source(name="cards.csv", notes=("the column Plays holds games",))
CARDS = CardTable(
    ["Ash Vine", "Tin Moth", "Elm Bell", "Fog Lamp"],
    games=[4000, 4000, 0, np.nan],
    wins=[1600, 2400, 0, np.nan],
    faction=["Cog", "Wick", None, None],
    source=SOURCE,
)


@pytest.fixture(scope="module")
def ranking() -> Ranking:
    return rank(CARDS, baseline=0.5, margin=0.02, allowance=1)


def test_choices_are_settings(ranking: Ranking):
    assert ranking.settings == Settings(baseline=0.5, margin=0.02, allowance=1)
    assert ranking.verdict.line == pytest.approx(0.48)


def test_choices_win_over_settings():
    given = Settings(sure=0.8, seed=4, allowance=1)

    ranking = rank(CARDS, given, sure=0.7)

    assert ranking.settings == Settings(sure=0.7, seed=4, allowance=1)
    assert ranking.verdict.sure == 0.7
    assert given.sure == 0.8


def test_without_choices_the_defaults_stand():
    assert rank(CARDS).settings == Settings()


def test_refuses_a_choice_that_is_none():
    with pytest.raises(TypeError, match=r"^there is no setting 'basline'; Settings lists"):
        rank(CARDS, basline=0.5)


def test_refuses_a_choice_out_of_bounds():
    with pytest.raises(SettingError, match=r"sure must be above 0\.5 and below 1, got 90"):
        rank(CARDS, sure=90)


def test_cuts_are_the_cards_to_cut(ranking: Ranking):
    assert [card.card for card in ranking.cuts] == ["Ash Vine"]
    assert ranking.cuts == (ranking.verdict.cards[0],)


def test_the_source_comes_along(ranking: Ranking):
    assert ranking.source is SOURCE


def test_the_frame_has_the_columns_of_the_glossary(ranking: Ranking):
    assert list(ranking.frame.columns) == list(RANKING_COLUMNS)


def test_the_frame_has_one_row_a_card_weakest_first(ranking: Ranking):
    frame = ranking.frame

    assert frame["card"].tolist() == [card.card for card in ranking.verdict.cards]
    assert frame["estimate"].is_monotonic_increasing
    assert frame["verdict"].tolist() == [card.verdict for card in ranking.verdict.cards]


def test_counts_are_whole_numbers_and_unknown_ones_are_missing(ranking: Ranking):
    frame = ranking.frame.set_index("card")

    counts = [name for name, column in RANKING_COLUMNS.items() if column.kind == "count"]
    assert counts == ["games", "wins", "games_needed"]
    assert {str(frame[name].dtype) for name in counts} == {"Int64"}
    assert frame.loc["Ash Vine", "games"] == 4000
    assert frame.loc["Elm Bell", "games"] == 0
    assert frame["games"].isna().tolist() == [name == "Fog Lamp" for name in frame.index]
    assert frame.loc["Ash Vine", "games_needed"] == 0


def test_rates_and_ranks_are_numbers(ranking: Ranking):
    frame = ranking.frame

    rates = ["win_rate", "estimate", "low", "high", "chance_below", "chance_worst"]
    assert {str(frame[name].dtype) for name in rates} == {"float64"}
    assert {str(frame[name].dtype) for name in ("rank_low", "rank_high")} == {"Int64"}


def test_reasons_are_joined_by_commas():
    rng = np.random.default_rng(6)
    pick = np.linspace(1, 12, 60)
    rates = 0.5 + 0.07 * (6.5 - pick) / 5.5
    rates[0] = 0.35
    cards = CardTable(
        [f"card {i}" for i in range(60)], [3000] * 60, rng.binomial(3000, rates), mean_pick=pick
    )

    frame = rank(cards, allowance=1).frame.set_index("card")

    assert frame.loc["card 0", "reasons"] == "weak, trap"
    assert frame.loc["card 20", "reasons"] == ""


def test_a_frame_can_be_changed_without_changing_the_ranking(ranking: Ranking):
    changed = ranking.frame
    changed["estimate"] = 0.0

    assert ranking.frame["estimate"].min() > 0


def test_a_report_is_written_where_it_was_asked_for(ranking: Ranking, tmp_path: Path):
    target = tmp_path / "cuts.md"

    written = write_report(ranking, str(target))

    text = target.read_text(encoding="utf-8")
    assert written == target
    assert "Ash Vine" in text
    assert "cards.csv" in text


def test_a_report_replaces_another_only_by_force(ranking: Ranking, tmp_path: Path):
    target = tmp_path / "cuts.md"
    target.write_text("mine", encoding="utf-8")

    with pytest.raises(OutputError, match="exists"):
        write_report(ranking, target)
    kept = target.read_text(encoding="utf-8")
    write_report(ranking, target, force=True)

    assert kept == "mine"
    assert "Ash Vine" in target.read_text(encoding="utf-8")


def test_pictures_stand_beside_a_report_in_markdown(ranking: Ranking, tmp_path: Path):
    write_report(ranking, tmp_path / "cuts.md")

    pictures = sorted(path.name for path in tmp_path.glob("*.svg"))
    text = (tmp_path / "cuts.md").read_text(encoding="utf-8")
    assert pictures == ["cuts.estimates.svg", "cuts.luck.svg", "cuts.outlook.svg"]
    assert all(f"]({name})" in text for name in pictures)


def test_a_picture_that_exists_is_not_lost(ranking: Ranking, tmp_path: Path):
    (tmp_path / "cuts.luck.svg").write_text("mine", encoding="utf-8")

    with pytest.raises(OutputError, match=r"cuts\.luck\.svg exists"):
        write_report(ranking, tmp_path / "cuts.md")
    assert [path.name for path in tmp_path.iterdir()] == ["cuts.luck.svg"]


@pytest.mark.parametrize(
    ("name", "start"),
    [
        ("cuts.html", b"<!doctype html>"),
        ("cuts.HTM", b"<!doctype html>"),
        ("cuts.xlsx", b"PK\x03\x04"),
        ("cuts.txt", b"Cut report for cards.csv\n==="),
        ("cuts.markdown", b"# Cut report for cards.csv\n"),
        ("cuts", b"# Cut report for cards.csv\n"),
    ],
)
def test_the_ending_says_how_a_report_is_written(name, start, ranking, tmp_path: Path):
    written = write_report(ranking, tmp_path / name)

    assert written == tmp_path / name
    assert written.read_bytes()[: len(start)].replace(b"DOCTYPE", b"doctype") == start


def test_an_ending_that_promises_something_else_is_refused(ranking, tmp_path: Path):
    with pytest.raises(
        OutputError, match=r"must end in \.md, \.html, \.xlsx or \.txt, got \.pdf$"
    ):
        write_report(ranking, tmp_path / "cuts.pdf")
    assert list(tmp_path.iterdir()) == []


def test_a_notebook_shows_the_cards(ranking: Ranking):
    assert "Ash Vine" in ranking._repr_html_()


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("power.txt", "What games can show\n==="),
        ("power.md", "# What games can show\n"),
        ("power", "# What games can show\n"),
        ("power.html", "<h1>What games can show</h1>"),
    ],
)
def test_any_other_answer_is_written_too(name: str, said: str, tmp_path: Path):
    written = write_report(power(baseline=0.5), tmp_path / name)

    assert said in written.read_text(encoding="utf-8")
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_only_a_ranking_has_a_workbook(tmp_path: Path):
    with pytest.raises(OutputError, match=r"only a ranking has a workbook; write power\.md"):
        write_report(power(baseline=0.5), tmp_path / "power.xlsx")
    assert list(tmp_path.iterdir()) == []


def test_archetypes_come_along_where_the_table_names_them(ranking: Ranking):
    cards = CardTable(["Ash", "Tin"] * 2, [900] * 4, [450] * 4, archetype=["a", "a", "b", "b"])

    assert ranking.archetypes is None
    assert len(rank(cards).archetypes.archetypes) == 2


def test_a_notebook_shows_the_ranking_and_a_file_holds_the_cut_report(ranking: Ranking):
    assert ranking.document.title == "Ranking of cards.csv"
    assert ranking.report.title == "Cut report for cards.csv"
    assert ranking._repr_html_().startswith("<p>4 cards: 1 to cut")
