"""Every warning that is given, each with about the smallest input that earns it.

What a table lacks, where cards' records do not fit the model, what limits verdicts on
archetypes and on a table's own games, and what `check` tells of a table before any verdict. A
warning without an input here, or one that its input no longer earns, fails.
"""

from typing import get_args

import numpy as np
import pytest

from tests.decide.home_tables import POOL, match
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypeCaution
from winrate_tools.decide.archetypes.archetypes import judge_archetypes
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.verdicts import Caution
from winrate_tools.decide.home.home import home_update
from winrate_tools.decide.home.home_verdicts import HomeCaution
from winrate_tools.matches import Match, MatchTable
from winrate_tools.report.archetypes import archetype_section
from winrate_tools.report.cards.cautions import cautions
from winrate_tools.report.home import home_sections
from winrate_tools.report.support.support import support
from winrate_tools.settings import Settings
from winrate_tools.tables import ArchetypeTable, CardTable

CARDS = 40
NAMES = [f"card {i}" for i in range(CARDS)]
GAMES = np.full(CARDS, 6000.0)
LIKED = np.linspace(-1.7, 1.7, CARDS)
"""How much drafters like each card, in standard deviations."""
SIDE = np.where(np.arange(CARDS) % 2, 1.0, -1.0)
"""Every other card."""


def cards(rate: np.ndarray, **columns) -> CardTable:
    return CardTable(NAMES, GAMES, (GAMES * rate).round(), **columns)


def picked(rate: np.ndarray) -> CardTable:
    """Cards whose places in the packs are told too; liked ones go earlier."""
    return cards(rate, mean_pick=8 - 3 * LIKED)


def in_two(first: np.ndarray, second: np.ndarray) -> CardTable:
    """Every card in two archetypes."""
    games = np.tile(GAMES, 2)
    wins = (games * np.concatenate([first, second])).round()
    labels = ["Kites"] * CARDS + ["Moths"] * CARDS
    return CardTable(NAMES * 2, games, wins, archetype=labels)


def compared(held: np.ndarray, unheld: np.ndarray, **columns) -> CardTable:
    wins = (GAMES * unheld).round()
    return cards(held, unheld_games=GAMES, unheld_wins=wins, **columns)


def one_far_up() -> np.ndarray:
    """Liked cards win more, and the middle one far more than that."""
    rates = 0.5 + 0.03 * LIKED
    rates[CARDS // 2] = 0.7
    return rates


TWO_CARDS = CardTable(NAMES[:2], [900, 900], [400, 500])
HALVES = np.repeat([1.0, -1.0], CARDS // 2)
TWO_ARCHETYPES = ["Kites"] * (CARDS // 2) + ["Moths"] * (CARDS // 2)
OF_CARDS: dict[Caution, tuple[CardTable, Settings]] = {
    "few cards": (TWO_CARDS, Settings()),
    "baseline too low": (TWO_CARDS, Settings(baseline=0.4)),
    "baseline too high": (TWO_CARDS, Settings(baseline=0.6)),
    "no usage": (TWO_CARDS, Settings()),
    "no factions": (TWO_CARDS, Settings()),
    "no skill bands": (TWO_CARDS, Settings()),
    "usage tells little": (picked(0.5 + 0.02 * SIDE), Settings()),
    "scattered records": (in_two(0.5 + 0.03 * SIDE, 0.5 - 0.03 * SIDE), Settings()),
    "records too alike": (in_two(0.5 + 0.03 * SIDE, 0.5 + 0.03 * SIDE), Settings()),
    "far records": (picked(one_far_up()), Settings()),
    "clashing looks": (compared(0.5 + 0.03 * SIDE, 0.5 - 0.03 * SIDE), Settings()),
    "uneven pace": (
        compared(0.5 + 0.05 * HALVES, 0.5 - 0.05 * HALVES, archetype=TWO_ARCHETYPES),
        Settings(),
    ),
}
KITES_AND_MOTHS = CardTable(
    ["Ash", "Ash", "Bee"],
    [900, 450, 1350],
    [450, 270, 675],
    archetype=["Kites", "Moths", "Moths"],
)
UNLABELLED = CardTable(
    ["Ash", "Ash", "Bee"], [900, 450, 450], [450, 270, 225], archetype=["Kites", "Moths", None]
)


def decks(*names: str, games: int = 150) -> ArchetypeTable:
    return ArchetypeTable(names, [games] * len(names), [games // 2] * len(names))


Tables = tuple[CardTable | None, ArchetypeTable | None]
OF_ARCHETYPES: dict[ArchetypeCaution, Tables] = {
    "estimated games": (KITES_AND_MOTHS, None),
    "unlabelled": (UNLABELLED, None),
    "other games": (KITES_AND_MOTHS, decks("Kites", "Moths", games=1500)),
    "unmatched": (KITES_AND_MOTHS, decks("Kites", "Bells")),
    "no cards": (None, decks("Kites", "Moths")),
    "no skill bands": (None, decks("Kites", "Moths")),
}
OF_HOME: dict[HomeCaution, list[Match]] = {
    "few games": [match("Ada", "Bo", 20, 9)],
    "no archetypes": [match("Ada", "Bo", 20, 10)],
    "no dates": [Match("Ada", "Bo", 20, 10)],
    "no seats": [match("Ada", "Bo", 20, 10)],
    "unknown cards": [match("Ada", "Bo", 20, 10, "Kites", cards=("Gong",))],
    "never met": [match("Ada", "Bo", 20, 10), match("Cy", "Di", 1, 1)],
}
OF_CHECK: dict[str, CardTable | ArchetypeTable] = {
    "No game was won": CardTable(["Ash"], [900], [0]),
    "Every game was won": CardTable(["Ash"], [900], [900]),
    "skill band is not used: all its labels": CardTable(
        ["Ash"], [900], [450], skill_band=["old"]
    ),
    "have no label there": CardTable(
        ["Ash"] * 3, [900] * 3, [450] * 3, archetype=["Kites", "Moths", None]
    ),
    "No card has games in two archetypes": CardTable(
        ["Ash", "Bee"], [900, 900], [450, 450], archetype=["Kites", "Moths"]
    ),
    "so the table's mean is mostly its own": CardTable(
        ["Ash", "Ash"], [901, 900], [450, 450], archetype=["Kites", "Moths"]
    ),
    "known in every row": CardTable(
        ["Ash", "Bee"],
        [900, 900],
        [450, 450],
        unheld_games=[600, np.nan],
        unheld_wins=[300, np.nan],
    ),
    "Fewer than 30 cards have games": CardTable(["Ash"], [900], [450]),
}


def sound() -> CardTable:
    """Cards of two factions in two skill bands that win more the more they are liked."""
    rng = np.random.default_rng(4)
    games, effect = np.tile(GAMES, 2), 0.03 * LIKED + rng.normal(0, 0.015, CARDS)
    return CardTable(
        NAMES * 2,
        games,
        rng.binomial(6000, 0.5 + np.tile(effect, 2)),
        faction=["Cog", "Wick"] * CARDS,
        skill_band=["new"] * CARDS + ["old"] * CARDS,
        mean_pick=np.tile(8 - 3 * LIKED, 2),
    )


def test_every_warning_has_an_input():
    assert set(OF_CARDS) == set(get_args(Caution))
    assert set(OF_ARCHETYPES) == set(get_args(ArchetypeCaution))
    assert set(OF_HOME) == set(get_args(HomeCaution))


@pytest.mark.parametrize("caution", OF_CARDS)
def test_verdicts_on_cards_come_with_their_warning(caution: Caution):
    table, settings = OF_CARDS[caution]

    pool = judge(table, settings)

    assert caution in pool.warnings
    assert len(set(cautions(pool))) == len(pool.warnings)


@pytest.mark.parametrize("caution", OF_ARCHETYPES)
def test_verdicts_on_archetypes_come_with_their_warning(caution: ArchetypeCaution):
    pool = judge_archetypes(*OF_ARCHETYPES[caution], Settings())

    assert caution in pool.warnings
    assert len(set(archetype_section.cautions(pool))) == len(pool.warnings)


@pytest.mark.parametrize("caution", OF_HOME)
def test_what_a_tables_own_games_say_comes_with_its_warning(caution: HomeCaution):
    found = home_update(POOL, MatchTable(OF_HOME[caution]))

    assert caution in found.warnings
    assert len(set(home_sections.cautions(found))) == len(found.warnings)


@pytest.mark.parametrize("words", OF_CHECK)
def test_a_check_warns_before_any_verdict(words: str):
    told = " ".join(entry.text for entry in support(OF_CHECK[words]))

    assert words in told


def test_a_sound_table_earns_no_warning():
    table = sound()

    told = " ".join(entry.text for entry in support(table))
    assert judge(table).warnings == ()
    assert [words for words in OF_CHECK if words in told] == []
