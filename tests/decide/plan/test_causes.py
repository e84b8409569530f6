"""Why a plan moves a card."""

import numpy as np
import pytest

from tests.decide.planning import card_verdict, stock
from winrate_tools.decide.plan.causes import Causes
from winrate_tools.decide.plan.copies import Advice
from winrate_tools.decide.plan.play import Play
from winrate_tools.decide.plan.worth import Needs
from winrate_tools.pools import PoolCard


def causes(
    below: float = 0.3,
    *,
    reasons: tuple[str, ...] = (),
    advice: tuple[str, ...] = (),
    need: tuple[float, float] = (0.0, 0.0),
    pull: float = 0.0,
    held: tuple[float, float] = (1.0, 0.0),
    known: bool = True,
) -> Causes:
    """One card with three copies, of which its part asks for two."""
    verdict = card_verdict("a", reasons=reasons) if known else None
    play = Play(("Kites", "Moths"), np.array([held]).T, np.ones(2), np.ones(2) / 2)
    return Causes(
        stock=stock([PoolCard("a", 3)], [3], [0.0], verdicts=[verdict]),
        advice=(Advice(2, 4, advice),),
        play=play,
        pull=np.array([[pull], [pull]]),
        needs=Needs(np.array([need[0], 0]), np.array([need[1], 0]), *[np.zeros(2)] * 3),
        chance_below=np.array([below]),
        sure=0.9,
    )


@pytest.mark.parametrize(
    ("case", "found"),
    [
        (causes(0.9), ("weak",)),
        (causes(0.89), ("likely weak",)),
        (causes(0.5), ("likely weak",)),
        (causes(0.49), ("room",)),
        (causes(0.95, reasons=("weak", "unplayed")), ("weak", "unplayed")),
        (causes(0.95, reasons=("weak", "trap")), ("trap",)),
        (causes(0.1, reasons=("few games",)), ("room",)),
        (causes(0.95, known=False), ("weak",)),
    ],
)
def test_weakness_tells_first(case: Causes, found: tuple[str, ...]):
    assert case.going(0, 0) == (found, None)


def test_a_good_card_of_an_overpowered_archetype_restrains_it():
    assert causes(need=(0, 0.6), pull=0.1).going(0, 0) == (("restrains",), "Kites")


@pytest.mark.parametrize(
    "case",
    [
        causes(need=(0, 0.4), pull=0.1),
        causes(need=(0, 0.6), pull=-0.1),
        causes(need=(0, 0.6), pull=0.1, held=(0.4, 1.0)),
        causes(need=(0.6, 0), pull=0.1),
    ],
    ids=["not surely strong", "drags it", "hardly in it", "underpowered"],
)
def test_other_cards_do_not(case: Causes):
    assert case.going(0, 0) == (("room",), None)


def test_a_card_that_holds_back_an_archetype_to_be_lifted_goes_for_that():
    drags = causes(need=(0.6, 0), pull=-0.1)

    assert drags.going(0, 0) == (("drags",), "Kites")
    assert drags.held_back(0, drags.needs.below) == "Kites"
    assert drags.held_back(0, drags.needs.above) is None


@pytest.mark.parametrize(
    "case",
    [
        causes(need=(0.4, 0), pull=-0.1),
        causes(need=(0.6, 0), pull=-0.1, held=(0.4, 1.0)),
        causes(need=(0, 0.6), pull=-0.1),
    ],
    ids=["not surely weak", "hardly in it", "overpowered"],
)
def test_other_cards_make_room_only(case: Causes):
    assert case.going(0, 0) == (("room",), None)


def test_a_reason_of_its_own_comes_before_what_a_card_does_to_archetypes():
    drags = {"need": (0.6, 0.0), "pull": -0.1}

    assert causes(0.95, **drags).going(0, 0) == (("weak",), None)
    assert causes(advice=("strong",), **drags).going(0, 2) == (("strong",), None)


@pytest.mark.parametrize("reason", ["strong", "marginal"])
def test_fewer_copies_are_put_down_to_what_the_card_asks_for(reason: str):
    assert causes(advice=(reason,)).going(0, 2) == ((reason,), None)
    assert causes(advice=(reason,)).going(0, 0) == (("room",), None)
    assert causes(0.95, advice=(reason,)).going(0, 2) == (("weak",), None)


def test_an_essential_card_loses_copies_for_other_reasons_only():
    assert causes(advice=("essential",)).going(0, 2) == (("room",), None)


@pytest.mark.parametrize(
    ("case", "found"),
    [
        (causes(0.1), (("sound",), None)),
        (causes(0.11), (("fits",), None)),
        (causes(0.05, advice=("essential",)), (("sound", "essential"), None)),
        (causes(0.3, need=(0.5, 0), pull=0.1), (("lifts",), "Kites")),
        (causes(0.05, need=(0.5, 0), pull=0.1), (("sound", "lifts"), "Kites")),
        (causes(0.3, need=(0, 0.9), pull=0.1), (("fits",), None)),
        (causes(0.5), (("fits",), None)),
        (causes(0.51), (("forced",), None)),
        (causes(0.51, need=(0.5, 0), pull=0.1), (("forced", "lifts"), "Kites")),
    ],
)
def test_what_comes_is_sound_lifts_or_is_essential(case: Causes, found: tuple):
    assert case.coming(0, 3) == found


def test_without_archetypes_nothing_lifts():
    case = causes(0.3)
    none = Play((), np.zeros((0, 1)), np.zeros(0), np.zeros(0))
    bare = case._replace(play=none, pull=np.zeros((0, 1)), needs=Needs(*[np.zeros(0)] * 5))

    assert bare.coming(0, 3) == (("fits",), None)


@pytest.mark.parametrize(
    ("copies", "after", "found"),
    [(0, 2, ("sound", "strong")), (0, 3, ("sound",)), (1, 2, ("sound",))],
    ids=["fewer than there are", "all there are", "of the pool"],
)
def test_a_candidate_that_comes_with_fewer_copies_says_why(copies: int, after: int, found):
    case = causes(0.05, advice=("strong",))
    shelf = stock([PoolCard("a", 3)], [copies], [0.0])

    assert case._replace(stock=shelf).coming(0, after) == (found, None)
