"""The section on archetypes."""

import re

import pytest

from tests.report.archetype_pools import POOL, judged, pooled
from winrate_tools.report.archetypes.archetype_cautions import cautions
from winrate_tools.report.archetypes.archetype_section import (
    archetype_report,
    archetype_section,
    archetype_sentence,
    archetypes_table,
    how_to_read_archetypes,
)
from winrate_tools.report.document import Document, Entries, Paragraph, Picture, Table
from winrate_tools.report.forms import markdown, text
from winrate_tools.report.forms.screen import Screen

BY_NAME = {one.archetype: one for one in POOL.archetypes}
BANNED = re.compile(r"\b(significant|p-value|confidence interval|null|None|nan)\b")


def test_the_section_opens_with_counts_and_lines():
    first = archetype_section(POOL).blocks[0]

    assert first == Paragraph(
        "6 archetypes: 1 underpowered, 1 overpowered, 1 balanced, 3 unsettled. An archetype "
        "is underpowered below 53.0% and overpowered above 57.0%: 2 points from 55.0%, the "
        "mean of all games; all at the same mix of players."
    )


def test_an_underpowered_archetype_has_its_sentences():
    assert archetype_sentence(BY_NAME["Bells"], POOL) == (
        "over 19 in 20 (almost surely) that it wins less than 53.0%. Best estimate 50.4% "
        "(8 in 10 range: 49.1 to 51.7%) from 12,345 games. Against the mean it stands at -4.6 "
        "points: +0.4 (-0.6 to +1.4) by its cards, we assume. Cards that drag it most: Tin "
        "Moth -0.3 (-0.5 to -0.1), a|b -0.1 (-0.3 to +0.1); cards that carry it most: Elm Bell "
        "+0.5 (+0.3 to +0.7)."
    )


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("Runes", ("that it wins more than 57.0%.",)),
        (
            "Kites",
            (
                "12 in 20 (cannot tell) that it lies between 53.0% and 57.0%, and a call takes "
                "16 in 20 or more.",
                "About 4,300 more games would very likely settle it.",
            ),
        ),
        (
            "Looms",
            ("No games yet, so the estimate is only what the other archetypes suggest.",),
        ),
    ],
)
def test_every_verdict_has_its_own_sentences(name: str, parts: tuple[str, ...]):
    said = archetype_sentence(BY_NAME[name], POOL)

    assert [part for part in parts if part not in said] == []


def test_games_that_would_not_help_are_told():
    one = judged("Any", 0.533, games_needed=None)

    assert archetype_sentence(one, POOL).endswith("More of the same games will not settle it.")


def test_what_is_unsettled_towards_a_line_names_the_chance_it_takes():
    one = judged("Any", 0.525)

    assert "that it wins less than 53.0%, and a call takes 18 in 20 or more." in (
        archetype_sentence(one, POOL)
    )


def test_without_a_split_nothing_is_said_about_cards():
    unknown = dict.fromkeys(("cards_part", "cards_low", "cards_high", "own_part"))
    one = judged("Bells", 0.504, **unknown, drags=(), carries=())
    pool = pooled(one)

    assert "ards" not in archetype_sentence(one, pool)
    assert "synergy" not in archetype_sentence(one, pool)
    headings = [column.heading for column in archetypes_table(pool).columns]
    assert headings[-1] == "Games needed"


def test_one_sentence_for_each_archetype_that_is_not_balanced():
    [entries] = [b for b in archetype_section(POOL).blocks if isinstance(b, Entries)]

    assert [entry.lead for entry in entries.items] == [
        "Bells",
        "Kites",
        "Looms",
        "Tides",
        "Runes",
    ]


def test_a_balanced_pool_has_no_list():
    blocks = archetype_section(pooled(judged("Any", 0.55))).blocks

    assert [type(block) for block in blocks] == [Paragraph, Table]


def test_the_table_has_a_row_for_each_archetype_and_a_mark_for_each_verdict():
    table = archetypes_table(POOL)
    places = {column.heading: at for at, column in enumerate(table.columns)}

    assert [row[0] for row in table.rows] == [one.archetype for one in POOL.archetypes]
    assert [row[places["Verdict"]] for row in table.rows] == [
        "▼ underpowered",
        "○ unsettled",
        "= balanced",
        "○ unsettled",
        "○ unsettled",
        "▲ overpowered",
    ]
    assert table.rows[0] == (
        "Bells", "12,345", "50.0%", "50.4%", "49.1 to 51.7%", "over 19 in 20 below",
        "▼ underpowered", "settled", "+0.4 (-0.6 to +1.4)", "-5.0 (-6.6 to -3.4)",
    )  # fmt: skip
    assert len(table.tones) == 6


def test_what_limits_the_verdicts_closes_the_section():
    pool = pooled(judged("Any", 0.55), counted=9.0, warnings=("unlabelled", "unmatched"))
    blocks = archetype_section(pool).blocks

    assert [block.text for block in blocks[-2:]] == list(cautions(pool))


@pytest.mark.parametrize(
    ("mean", "told"),
    [
        (None, ""),
        (0.55, ""),
        (
            0.5643,
            " The cards' mean of 56.43% counts a game once a card, this one once a deck.",
        ),
    ],
)
def test_the_cards_mean_is_told_from_that_of_all_games_where_they_differ(mean, told):
    first = archetype_section(POOL, cards_mean=mean).blocks[0]

    assert first.text.partition("the same mix of players.")[2] == told


def test_worked_out_games_are_told_with_their_assumption():
    pool = pooled(judged("Bells", 0.504), counted=9.0, warnings=("estimated games",))
    said = markdown.render(archetype_report(pool, "cards.csv"))

    assert "at 9 cards counted in a game, which is common practice and an assumption" in said
    assert "from about 12,000 games" in said


def test_skill_bands_are_only_claimed_where_they_are_known():
    assert "mix of players" not in markdown.render(
        Document("x", (archetype_section(pooled(judged("Any", 0.55), skill_bands=())),))
    )


def test_the_report_explains_its_words():
    said = markdown.render(archetype_report(POOL, "cards.csv"))

    assert said.startswith("# Archetypes of cards.csv\n")
    for word in ("17 in 20", "Verdict", "Cards' part", "Games needed", "16 in 20 or more"):
        assert word in said
    assert BANNED.findall(said) == []


def test_wont_help_is_explained_where_it_stands_in_the_table():
    def needed(pool) -> str:
        entries = how_to_read_archetypes(pool).blocks[0].items
        return next(entry.text for entry in entries if entry.lead == "Games needed")

    hopeless = pooled(judged("Any", 0.533, games_needed=None))

    assert "settled is 16 in 20." in needed(pooled(judged("Any", 0.533, games_needed=900)))
    assert "Won't help" not in needed(pooled(judged("Any", 0.533, games_needed=900)))
    assert '"Won\'t help": no number of games would do so' in needed(hopeless)


@pytest.mark.parametrize("width", [40, 60, 80, 200])
def test_no_range_or_verdict_is_cut_at_any_width(width: int):
    said = text.render(archetype_report(POOL, "cards.csv"), Screen(width=width))

    for one in archetypes_table(POOL).rows:
        assert one[4] in said
        assert one[6] in said
    assert max(map(len, said.splitlines())) <= width


def test_the_marks_survive_a_plain_stream():
    said = text.render(archetype_report(POOL, "x"), Screen(encoding="ascii"))

    for mark in ("- underpowered", "+ overpowered", "= balanced", "? unsettled"):
        assert mark in said


def test_the_report_of_archetypes_has_their_picture_and_the_section_leaves_it_to_others():
    report = archetype_report(POOL, "cards.csv")

    [picture] = [block for block in report.sections[0].blocks if isinstance(block, Picture)]
    assert picture.name == "archetypes"
    assert not [block for block in archetype_section(POOL).blocks if isinstance(block, Picture)]
