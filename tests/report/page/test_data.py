import json
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ndtr

from tests.report.page.packed_numbers import unpacked
from winrate_tools.decide.cards.homes import HomeRecord
from winrate_tools.report import words
from winrate_tools.report.figures.estimates import groups
from winrate_tools.report.likelihood import likelihood
from winrate_tools.report.page.data import (
    COARSE,
    FINE,
    REACH,
    SURENESS,
    archetype_names,
    page_data,
    script_safe,
    sureness,
)


def thousandths(text: str) -> np.ndarray:
    return np.array(unpacked(text)) / COARSE


def bend(text: str, place: np.ndarray) -> np.ndarray:
    return np.polynomial.Polynomial(thousandths(text))(place / REACH)


def reported(data: dict) -> dict[str, np.ndarray]:
    """Return what the report prints, in millionths."""
    middle = np.cumsum(unpacked(data["estimate"]))
    low, high = np.array(unpacked(data["low"])), np.array(unpacked(data["high"]))
    return {"low": middle - low, "estimate": middle, "high": middle + high}


def chances(data: dict, line: float) -> np.ndarray:
    """Work chances out from the packed beliefs, as the page does."""
    lattice = thousandths(data["lattice"])
    place = np.log(line / (1 - line))
    return np.array(
        [
            ndtr(np.interp(t, lattice, lattice + bend(bends, lattice)))
            for t, bends in (
                ((place - centre / FINE) / (scale / FINE), bends)
                for centre, scale, bends in zip(
                    np.cumsum(unpacked(data["centre"])),
                    unpacked(data["scale"]),
                    data["bends"].split(" "),
                    strict=True,
                )
            )
        ]
    )


@pytest.mark.parametrize("line", [0.43, 0.46, 0.48, 0.49, 0.5, 0.52, 0.56])
def test_packed_beliefs_give_the_chances_back(pool, line: float):
    found = chances(page_data(pool), line)

    assert found == pytest.approx(pool.beliefs.chance_below(line), abs=0.002)


@pytest.mark.parametrize("rate", [0.58749995, 0.5875, 0.4999996, 0.5, 0.50004999, 0.123456])
@pytest.mark.parametrize("name", ["low", "estimate", "high"])
def test_what_the_report_prints_rounds_on_the_page_as_it_does_there(pool, name, rate):
    cards = (replace(pool.cards[0], **{name: rate}), *pool.cards[1:])

    [found, *_] = reported(page_data(replace(pool, cards=cards)))[name]

    middle = (found + 0.5) / FINE
    assert middle == pytest.approx(rate, abs=1 / FINE)
    assert [words.percent(middle, k) for k in (1, 2, 3)] == [
        words.percent(rate, k) for k in (1, 2, 3)
    ]


def test_beliefs_that_are_no_normals_bend(pool):
    effects = pool.beliefs.effects
    skewed = effects._replace(
        weight=np.vstack([0.7 * effects.weight, 0.3 * effects.weight]),
        mean=np.vstack([effects.mean, effects.mean + 1.5 * effects.sd]),
        sd=np.vstack([effects.sd, 1.5 * effects.sd]),
    )
    bent = replace(pool, beliefs=pool.beliefs._replace(effects=skewed))
    data = page_data(bent)

    assert np.abs(bend(data["bends"].split(" ")[0], thousandths(data["lattice"]))).max() > 0.1
    assert chances(data, 0.49) == pytest.approx(bent.beliefs.chance_below(0.49), abs=0.003)


def test_every_sureness_has_its_words_and_numbers(pool):
    by_sure = {choice.sure: choice for choice in sureness(pool)}

    assert sorted(by_sure) == list(SURENESS)
    assert by_sure[0.9]._asdict() == {
        "sure": 0.9,
        "label": "18 in 20",
        "z": pytest.approx(NormalDist().inv_cdf(0.9), abs=1e-6),
        "cut": 18,
        "keep": 2,
        "range": "8 in 10",
        "wide": "95 in 100",
        "wide_z": pytest.approx(NormalDist().inv_cdf(0.975), abs=1e-6),
    }
    assert by_sure[0.99].label == "99 in 100"


def test_the_reports_own_sureness_is_among_the_choices(pool):
    own = replace(pool, sure=0.925)

    sures = [choice.sure for choice in sureness(own)]

    assert sures == sorted({*SURENESS, 0.925})


def test_choices_are_packed_without_their_labels_and_with_wider_ranges_once(pool):
    data = page_data(replace(pool, sure=0.925))

    assert len({wide for wide, _ in data["wides"]}) == len(data["wides"]) == 2
    assert [
        (sure, z, cut, keep, name, *data["wides"][wide])
        for sure, z, cut, keep, name, wide in data["sureness"]
    ] == [
        (it.sure, it.z, it.cut, it.keep, it.range, it.wide, it.wide_z)
        for it in sureness(replace(pool, sure=0.925))
    ]


def test_every_number_of_twenty_says_how_likely_it_is(pool):
    said = page_data(pool)["likelihood"]

    assert [said["names"][i] for i in unpacked(said["of"])] == [
        likelihood(number) for number in range(21)
    ]


def test_twenty_dots_are_equally_likely_rates(pool):
    deviates = thousandths(page_data(pool)["deviates"])

    assert [NormalDist().cdf(z) for z in deviates] == pytest.approx(
        [0.05 * k + 0.025 for k in range(20)], abs=5e-4
    )


def test_rows_are_the_cards_of_the_picture_from_its_top(make_card, make_pool):
    pool = make_pool(*(make_card(f"C{i}", 0.5, faction="BAC"[i % 3]) for i in range(7)))

    rows = unpacked(page_data(pool)["rows"])

    names = [bar.card.card for group in groups(pool) for bar in group.bars]
    assert [pool.cards[i].card for i in rows] == names
    assert rows == [1, 4, 0, 3, 6, 2, 5]


def test_labels_are_coded_by_their_sorted_names(pool, make_card, make_pool):
    cards = [
        make_card("Ash Vine", 0.47, faction="Wick"),
        make_card("Tin Moth", 0.5, faction=None),
        make_card("River Bell", 0.55, faction="Cog"),
    ]

    labels = page_data(make_pool(*cards))["labels"]

    assert labels["faction"]["names"] == ["Cog", "Wick"]
    assert unpacked(labels["faction"]["of"]) == [1, -1, 0]
    assert labels["role"] == {"names": [], "of": ""}


def test_records_by_archetype_are_coded_by_their_sorted_names(make_card, make_pool):
    homes = (HomeRecord("Wicks", 40, 18, 0.51), HomeRecord("Cogs", 10, 4, 0.4765432))
    cards = [make_card("Ash Vine", 0.47, homes=homes), make_card("Tin Moth", 0.5)]

    data = page_data(make_pool(*cards))

    assert archetype_names(make_pool(*cards).cards) == ["Cogs", "Wicks"]
    assert data["usual"] == [0.476543, 0.51]
    assert [unpacked(row) for row in data["homes"].split(" ")] == [[1, 40, -4, 0, 10, -2], []]


def test_only_cards_that_flip_say_where(pool):
    data = page_data(pool)

    assert data["flips"] == {0: "0.12"}
    assert [unpacked(row) for row in data["use"].split(" ")][:3] == [[-4], [16], []]


def test_reasons_of_the_pool_are_explained(pool):
    reasons = page_data(pool)["reasons"]

    assert set(reasons) == {reason for card in pool.cards for reason in card.reasons}
    assert reasons["few games"] == "too few games so far for how near the line it lies"


@given(st.text())
def test_no_text_leaves_the_script_element(text: str):
    safe = script_safe({"card": text})

    assert "<" not in safe
    assert json.loads(safe) == {"card": text}


def test_the_data_are_plain_json(pool):
    data = page_data(pool)

    back = json.loads(script_safe(data))

    assert back["centre"] == data["centre"]
    assert back["line"] == pool.line
