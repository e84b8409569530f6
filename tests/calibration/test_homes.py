"""Home tables whose truth is known: ranges, errors, waiting times, and stopping when one likes.

Worlds are drawn as the model believes them to be, and then unlike it: tables that differ more
or less from strangers, players who differ more, decks that differ more from their archetype.
Bars: where the world is as believed, 90 % ranges hold the truth 85 to 95 times in 100, and the
error is below that of strangers' word alone and of home games alone; verdicts foretold to
settle do so within 5 points; first verdicts of those who look after every night are as often
right as they say, within 5 points.
"""

import numpy as np
import pytest

from tests.calibration.homes import World, first_answers, mean_found, settling

SIZES = ((3, 3), (3, 7), (4, 3), (5, 4), (5, 13), (8, 1), (8, 5))
UNLIKE = {
    "differs little": World(usual=0.03, stray_share=0.0),
    "differs twice as much": World(usual=0.2),
    "one in five far off": World(stray_share=0.2),
    "players far apart": World(skill=0.9),
    "players alike": World(skill=0.2),
    "decks far apart": World(deck=0.5),
}
AHEAD = ((World(nights=3), 10), (World(nights=6), 30), (World(players=8, nights=3), 30))


def test_a_small_version_covers_and_beats_both_sources():
    found = mean_found(World(nights=13), range(25))

    assert 0.83 < found.cover < 0.96
    assert 0.80 < found.players < 0.98
    assert found.ours < min(found.outside, found.alone)


def test_a_small_version_foretells_what_settles():
    foretold, happened = settling(World(players=8, nights=3), 30, range(8))

    assert len(foretold) > 40
    assert foretold.mean() == pytest.approx(happened.mean(), abs=0.15)


def test_a_small_version_may_be_stopped_at_the_first_answer():
    stated, true = first_answers(World(players=8, spread=0.3), 4, range(6))

    assert len(stated) > 10
    assert true.mean() > stated.mean() - 0.2


@pytest.mark.slow
def test_ranges_and_errors_over_sizes_and_unlike_worlds():
    sizes = {f"{p} x {n}": World(players=p, nights=n) for p, n in SIZES}
    found = {name: mean_found(world, range(100, 400)) for name, world in sizes.items()}
    unlike = {name: mean_found(world, range(100, 400)) for name, world in UNLIKE.items()}

    print("\n| world | games | cover % | rebuilt % | players % | ours | strangers | home |")
    print("|---|---|---|---|---|---|---|---|")
    for name, one in (found | unlike).items():
        shares = (f"{100 * share:.1f}" for share in (one.cover, one.rebuilt, one.players))
        errors = (f"{error:.2f}" for error in (one.ours, one.outside, one.alone))
        print(f"| {name} | {one.games:.0f} | {' | '.join([*shares, *errors])} |")
    assert all(0.85 < one.cover < 0.95 for one in found.values())
    assert all(0.85 < one.players < 0.95 for one in found.values())
    assert all(one.ours < min(one.outside, one.alone) for one in found.values())


@pytest.mark.slow
def test_what_is_foretold_to_settle_does():
    print("\n| players | nights | further | open | foretold % | happened % | by quarter |")
    print("|---|---|---|---|---|---|---|")
    gaps = []
    for world, further in AHEAD:
        foretold, happened = settling(world, further, range(100, 300))
        parts = np.array_split(np.argsort(foretold), 4)
        pairs = [(foretold[part].mean(), happened[part].mean()) for part in parts]
        shown = ", ".join(f"{100 * said:.0f}/{100 * seen:.0f}" for said, seen in pairs)
        print(
            f"| {world.players} | {world.nights} | {further} | {len(foretold)} "
            f"| {100 * foretold.mean():.1f} | {100 * happened.mean():.1f} | {shown} |"
        )
        gaps.append(abs(foretold.mean() - happened.mean()))
    assert max(gaps) < 0.05


@pytest.mark.slow
def test_first_answers_are_as_often_right_as_they_say():
    print("\n| spread | answers | stated % | right % |")
    print("|---|---|---|---|")
    gaps = []
    for spread in (0.05, 0.15, 0.3):
        stated, true = first_answers(World(spread=spread), 20, range(100, 200))
        said, right = 100 * stated.mean(), 100 * true.mean()
        print(f"| {spread} | {len(stated)} | {said:.1f} | {right:.1f} |")
        gaps.append(stated.mean() - true.mean())
    assert max(gaps) < 0.05
