"""Archetypes' games and their cards, from the tables there are."""

import numpy as np
import pytest

from winrate_tools.decide.archetypes.archetype_counts import (
    CARDS_ERROR,
    COUNTED,
    archetype_counts,
)
from winrate_tools.errors import FitError
from winrate_tools.tables import ArchetypeTable, CardTable

NAN = float("nan")


def cards(**columns: object) -> CardTable:
    """Make two cards in two archetypes: Ash everywhere, Bee among the moths only."""
    standard = {
        "card": ["Ash", "Ash", "Bee"],
        "games": [900, 450, 1350],
        "wins": [450, 270, 675],
        "archetype": ["Kites", "Moths", "Moths"],
    }
    return CardTable(**standard | columns)


def decks(**columns: object) -> ArchetypeTable:
    standard = {"archetype": ["Moths", "Kites"], "games": [200, 100], "wins": [120, 50]}
    return ArchetypeTable(**standard | columns)


@pytest.mark.parametrize("measure", list(COUNTED))
def test_cards_games_are_divided_by_the_cards_counted_in_a_game(measure):
    counts = archetype_counts(cards(), None, measure)

    assert counts.archetype == ("Kites", "Moths")
    assert counts.games[:, 0] == pytest.approx(np.array([900, 1800]) / COUNTED[measure])
    assert counts.wins / counts.games == pytest.approx(np.array([[0.5], [0.525]]))
    assert (counts.counted, counts.error) == (COUNTED[measure], CARDS_ERROR)
    assert counts.warnings == ("estimated games", "no skill bands")


def test_copies_are_shares_of_the_cards_counted_in_a_game():
    counts = archetype_counts(cards(), None, "held")

    assert counts.copies == pytest.approx(np.array([[9, 0], [2.25, 6.75]]))


def test_games_of_decks_are_games():
    counts = archetype_counts(None, decks(factions=["Cog", None]), "held")

    assert counts.archetype == ("Moths", "Kites")
    assert counts.games.tolist() == [[200], [100]]
    assert counts.wins.tolist() == [[120], [50]]
    assert counts.factions == ("Cog", None)
    assert (counts.counted, counts.error, counts.copies) == (None, 0, None)
    assert counts.warnings == ("no skill bands", "no cards")


def test_copies_are_cards_games_over_decks_games_where_these_are_known():
    counts = archetype_counts(cards(), decks(), "held")

    assert counts.copies == pytest.approx(np.array([[450 / 200, 1350 / 200], [9, 0]]))
    assert counts.warnings == ("no skill bands",)


@pytest.mark.parametrize("factor", [3, 0.1])
def test_cards_and_decks_of_other_games_share_no_count(factor: float):
    table = decks(games=[200 * factor, 100 * factor], wins=[1, 1])
    counts = archetype_counts(cards(), table, "held")

    assert counts.copies.sum(axis=1) == pytest.approx([9, 9])
    assert counts.warnings == ("no skill bands", "other games")


def test_names_are_matched_without_regard_to_case_and_blanks():
    counts = archetype_counts(cards(), decks(archetype=["MOTHS", " kites"]), "held")

    assert counts.copies.sum(axis=1) == pytest.approx([9, 9])
    assert "unmatched" not in counts.warnings


def test_an_archetype_without_cards_has_unknown_copies():
    table = decks(archetype=["Moths", "Bells"])
    counts = archetype_counts(cards(), table, "held")

    assert np.isnan(counts.copies).all(axis=1).tolist() == [False, True]
    assert "unmatched" in counts.warnings


def test_skill_bands_stay_apart_and_an_unknown_one_is_one_of_them():
    table = decks(archetype=["Moths"] * 3, games=[5, 6, 7], wins=[1, 2, 3])
    banded = ArchetypeTable(
        [*table.archetype, "Kites"],
        [*table.games, 8],
        [*table.wins, 4],
        skill_band=["new", None, "old", "old"],
    )
    counts = archetype_counts(None, banded, "held")

    assert counts.skill_bands == ("new", "", "old")
    assert counts.games.tolist() == [[5, 6, 7], [0, 0, 8]]
    assert "no skill bands" not in counts.warnings


def test_bands_of_cards_stay_apart_too():
    counts = archetype_counts(cards(skill_band=["new", "new", "old"]), None, "held")

    assert counts.games == pytest.approx(np.array([[100, 0], [50, 150]]))


def test_games_of_unknown_wins_are_left_out_of_rates():
    counts = archetype_counts(cards(wins=[450, NAN, 675]), None, "held")

    assert counts.games[:, 0] == pytest.approx([100, 150])
    assert counts.copies == pytest.approx(np.array([[9, 0], [2.25, 6.75]]))


@pytest.mark.parametrize(("games", "said"), [(500, False), (800, True)])
def test_many_games_without_an_archetype_are_told(games: int, said: bool):
    table = cards(
        card=["Ash", "Ash", "Bee", "Bee"],
        games=[900, 450, 1350, games],
        wins=[450, 270, 675, 1],
        archetype=["Kites", "Moths", "Moths", None],
    )
    counts = archetype_counts(table, None, "held")

    assert counts.archetype == ("Kites", "Moths")
    assert ("unlabelled" in counts.warnings) == said


@pytest.mark.parametrize("table", [None, CardTable(["Ash"], [4], [2])])
def test_archetypes_must_come_from_somewhere(table):
    with pytest.raises(FitError, match="archetypes must be named"):
        archetype_counts(table, None, "held")


def test_archetypes_are_spelt_as_the_cards_spell_them():
    found = archetype_counts(cards(), decks(archetype=["moths ", "KITES"]), measure="held")

    assert found.archetype == ("Moths", "Kites")


def test_archetypes_come_in_order_of_first_appearance_as_first_spelt():
    table = CardTable(
        ["Ash", "Ash", "Ash", "Bee", "Bee", "Elm", "Elm"],
        [900, 450, 90, 1350, 90, 180, 360],
        [450, 270, 45, 675, 45, 90, 180],
        archetype=["Kites", None, "Moths", "kites", "Bells", "BELLS", "moths"],
    )
    counts = archetype_counts(table, None, "held")

    assert counts.archetype == ("Kites", "Moths", "Bells")
    assert counts.games[:, 0] == pytest.approx([250, 50, 30])
