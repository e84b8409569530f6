"""The home table of Lantern Fair."""

import datetime as dt
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest

from winrate_tools.simulate.lantern_home import (
    HEADING,
    MATCHES,
    MENDED,
    NIGHTS,
    NOTED,
    PLAYERS,
    home_rows,
    home_strengths,
)
from winrate_tools.simulate.lantern_world import FAILING, TOO_STRONG, WORLD, lantern_fair

NAMES = [archetype.name for archetype in WORLD.archetypes]


@pytest.fixture(scope="module")
def rows():
    heading, *body = home_rows(lantern_fair())
    assert heading == HEADING
    return [dict(zip(heading, row, strict=True)) for row in body]


def test_five_friends_meet_on_ten_nights_a_week_apart(rows):
    nights = Counter(row["date"] for row in rows)
    days = sorted(nights)

    assert set(nights.values()) == {MATCHES}
    assert len(days) == NIGHTS
    assert {later - day for day, later in pairwise(days)} == {dt.timedelta(weeks=1)}
    assert {row["player"] for row in rows} | {row["opponent"] for row in rows} == set(PLAYERS)


def test_nobody_meets_anybody_twice_a_night_nor_themself(rows):
    pairs = {(row["date"], frozenset((row["player"], row["opponent"]))) for row in rows}

    assert len(pairs) == len(rows)
    assert all(len(pair) == 2 for _, pair in pairs)


def test_a_match_ends_with_two_wins_or_after_three_games(rows):
    for row in rows:
        won, lost, drawn = row["games_won"], row["games_lost"], row["draws"]
        assert max(won, lost) == 2 or won + lost + drawn == 3
        assert won + lost < 4
    assert 0 < sum(row["draws"] for row in rows) < 10


def test_a_player_keeps_one_deck_a_night_and_somebody_plays_the_rebuilt_one(rows):
    decks: dict[tuple[object, str], set[str]] = {}
    for row in rows:
        decks.setdefault((row["date"], row["player"]), set()).add(row["archetype"])
        decks.setdefault((row["date"], row["opponent"]), set()).add(row["opponent_archetype"])
    nights = {date for (date, _), names in decks.items() if FAILING in names}

    assert {len(names) for names in decks.values()} == {1}
    assert len(nights) == NIGHTS


def test_cards_are_noted_from_the_sixth_night_on_and_fit_their_archetype(rows):
    truth = lantern_fair().simulation.truth
    noted = [row["cards"].split("; ") if row["cards"] else [] for row in rows]

    assert [len(cards) for cards in noted] == 35 * [0] + 35 * [NOTED]
    for row, cards in zip(rows[35:], noted[35:], strict=True):
        homes = truth.home[[truth.card.index(card) for card in cards]]
        assert WORLD.fits[NAMES.index(row["archetype"]), homes].all()


def test_both_seats_come_first(rows):
    seats = Counter(row["first_seat"] for row in rows)

    assert set(seats) == {"yes", "no"}
    assert min(seats.values()) > 20


def test_the_archetypes_are_worth_what_they_are_among_strangers_but_for_the_rebuilt_one():
    fair = lantern_fair()
    strength = home_strengths(fair)
    play = fair.simulation.play
    rates = play.wins.sum(axis=1) / play.games.sum(axis=1)
    others = np.arange(len(NAMES)) != NAMES.index(FAILING)

    assert strength[NAMES.index(FAILING)] == MENDED
    assert NAMES[int(strength.argmax())] == TOO_STRONG
    assert np.argsort(strength[others]).tolist() == np.argsort(rates[others]).tolist()


def test_the_better_players_win_more(rows):
    wins, games = Counter(), Counter()
    for row in rows:
        wins[row["player"]] += row["games_won"]
        wins[row["opponent"]] += row["games_lost"]
        for side in ("player", "opponent"):
            games[row[side]] += row["games_won"] + row["games_lost"]
    rates = {name: wins[name] / games[name] for name in PLAYERS}

    assert min(rates[name] for name in ("Marta", "Joris", "Ines")) > rates["Tobias"]
    assert abs(sum(PLAYERS.values())) < 1e-9
    assert rates["Tobias"] > rates["Wren"]
