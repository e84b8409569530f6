"""The log of Lantern Fair."""

from winrate_tools.simulate.lantern_log import DRAFTS, lantern_log
from winrate_tools.simulate.lantern_world import WORLD, lantern_fair


def test_the_log_holds_the_cards_of_the_fair_and_some_hundred_decks():
    fair = lantern_fair()
    head, *rows = lantern_log(fair).splitlines()
    cards = {card for row in rows for card in row.split(",")[5].split("|")}

    assert head == "game,deck,archetype,skill,won,cards,held"
    assert cards <= set(fair.simulation.truth.card)
    assert len({row.split(",")[1] for row in rows}) == DRAFTS * WORLD.seats
    assert 200_000 < sum(map(len, rows)) < 400_000
