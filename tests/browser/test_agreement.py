"""What the page works out agrees with what the report would say of the same line."""

import math
import re
from collections import Counter
from dataclasses import replace
from pathlib import Path
from statistics import NormalDist
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from playwright.sync_api import Page

from tests.browser.opening import Open, Opened, moved
from tests.report.figures.drawings import dotted
from winrate_tools.decide.cards.rules import Rule
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.cards import card_words
from winrate_tools.report.cards.card_tables import MARKS
from winrate_tools.report.cards.sentences import (
    counts_sentence,
    expected_wrong,
    line_sentence,
    verdict_sentence,
)
from winrate_tools.report.figures import estimates
from winrate_tools.report.page.data import SURENESS, page_data, sureness

TEMPLATES = Path(card_words.__file__).parents[1] / "page" / "templates"
ORDER = ("cut", "more games", "keep")
SETTLING = re.compile(r" (?:More of the same|About [\d,]+ more) games [^.]*\.$")
TABLES = [("cards", 1), ("cards_by_archetype", 3)]
STEPS = [-40, -12, -3, 0, 1, 5, 20, 45]
CELLS = """() => [...document.querySelectorAll("#cards tbody tr:not(#detail)")].map(
    row => [...row.cells].map(cell => cell.textContent))"""


@pytest.fixture(scope="module", params=TABLES)
def opened(request: pytest.FixtureRequest, open_page: Open) -> Opened:
    return open_page(*request.param)


def source(*names: str) -> str:
    return "\n".join((TEMPLATES / name).read_text(encoding="utf-8") for name in names)


def judged_at(pool: PoolVerdict, line: float, sure: float) -> PoolVerdict:
    """Judge a pool anew by another line, as the report would."""
    chances = pool.beliefs.chance_below(line)
    mean, effects = pool.beliefs.mean, pool.beliefs.effects
    shift = math.log(mean / (1 - mean))
    low, high = (
        1 / (1 + np.exp(-shift - effects.quantile(level))) for level in (1 - sure, sure)
    )
    rule = Rule(line, sure)
    cards = tuple(
        replace(
            card,
            chance_below=float(chance),
            low=float(low[i]),
            high=float(high[i]),
            verdict=rule.verdict(float(chance), has_games=bool(card.games)),
            games_needed=None,
        )
        for i, (card, chance) in enumerate(zip(pool.cards, chances, strict=True))
    )
    wrong = sum(1 - card.chance_below for card in cards if card.verdict == "cut")
    margin = pool.baseline - line
    return replace(pool, cards=cards, line=line, sure=sure, margin=margin, expected_wrong=wrong)


def by_name(opened: Opened) -> dict[str, list[str]]:
    return {cells[0]: cells for cells in opened.page.evaluate(CELLS)}


def is_edge(chance: float, sure: float) -> bool:
    """Whether a chance lies so near to a rounding or to a bar that either side will do."""
    corners = [(k + 0.5) / 20 for k in range(20)] + [sure, 1 - sure]
    return min(abs(chance - corner) for corner in corners) < 0.002


def asked(page: Page, sure: float) -> None:
    labels = [f"{round(20 * sure)} in 20", f"{round(100 * sure)} in 100"]
    page.locator("#sure").select_option(label=labels[sure > 0.95])


def test_chances_are_within_a_two_hundredth_for_every_card_and_line(opened: Opened):
    pool = opened.ranking.verdict
    lines = np.linspace(pool.line - 0.08, pool.line + 0.08, 33).tolist()

    found = opened.page.evaluate(
        "lines => {"
        + source("words.js", "packing.js", "beliefs.js")
        + """const data = JSON.parse(document.querySelector("#data").textContent);
        const beliefs = beliefsOf(data);
        return lines.map(line => beliefs.map(belief => belief.below(line))); }""",
        lines,
    )

    wanted = [pool.beliefs.chance_below(line) for line in lines]
    assert np.abs(np.array(found) - np.array(wanted)).max() < 0.002


def test_ranges_are_within_a_hundredth_of_a_point_for_every_card_and_sureness(opened: Opened):
    beliefs = opened.ranking.verdict.beliefs
    levels = [level for sure in SURENESS for level in (sure, 1 - sure)]
    deviates = [float(NormalDist().inv_cdf(level)) for level in levels]

    found = opened.page.evaluate(
        "deviates => {"
        + source("words.js", "packing.js", "beliefs.js")
        + """const data = JSON.parse(document.querySelector("#data").textContent);
        return beliefsOf(data).map(belief => deviates.map(belief.rate)); }""",
        deviates,
    )

    shift = math.log(beliefs.mean / (1 - beliefs.mean))
    wanted = [1 / (1 + np.exp(-shift - beliefs.effects.quantile(level))) for level in levels]
    assert np.abs(np.array(found) - np.array(wanted).T).max() < 1e-4


@pytest.mark.parametrize("steps", STEPS)
def test_verdicts_chances_and_numbers_are_those_of_the_report_at_that_line(
    opened: Opened, steps: int
):
    pool = opened.ranking.verdict
    moved(opened.page, steps)

    shown = by_name(opened)

    wanted = judged_at(pool, pool.line + steps / 1000, pool.sure)
    plain = [card for card in wanted.cards if not is_edge(card.chance_below, pool.sure)]
    called = {
        card.card: (card.verdict, card_words.chance_below(card, wanted)) for card in plain
    }
    numbers = {
        card.card: [card_words.estimate(card, wanted), card_words.range_of(card, wanted)]
        for card in plain
    }
    assert len(plain) > 0.8 * len(wanted.cards)
    assert {name: (shown[name][1][2:], shown[name][2]) for name in called} == called
    assert {name: shown[name][3:5] for name in numbers} == numbers


def test_at_the_reports_line_the_page_says_what_the_report_says(opened: Opened):
    pool = opened.ranking.verdict
    moved(opened.page, 7)
    moved(opened.page, 0)

    shown = by_name(opened)

    assert {name: cells[1:5] for name, cells in shown.items()} == {
        card.card: [
            MARKS[card.verdict],
            card_words.chance_below(card, pool),
            card_words.estimate(card, pool),
            card_words.range_of(card, pool),
        ]
        for card in pool.cards
    }
    assert opened.page.locator("body.moved").count() == 0


@pytest.mark.parametrize("sure", SURENESS)
def test_the_bar_of_verdicts_agrees_at_every_sureness(opened: Opened, sure: float):
    pool = opened.ranking.verdict
    wanted = judged_at(pool, pool.line, sure)
    moved(opened.page, 0)
    asked(opened.page, sure)

    numbers = opened.page.locator(".tally b").all_text_contents()
    counts = dict(zip(ORDER, map(int, numbers), strict=True))
    widths = [
        float(it.get_attribute("width")) for it in opened.page.locator(".tally rect").all()
    ]

    slack = sum(is_edge(card.chance_below, sure) for card in pool.cards)
    said = Counter(card.verdict for card in wanted.cards)
    assert list(counts.values()) == widths
    assert sum(widths) == len(pool.cards)
    assert all(abs(counts[verdict] - said[verdict]) <= slack for verdict in ORDER)
    assert slack < 0.25 * len(pool.cards)


@pytest.mark.parametrize("sure", SURENESS)
def test_ranges_touch_the_line_where_the_verdict_waits_and_equal_chances_are_called_alike(
    opened: Opened, sure: float
):
    asked(opened.page, sure)
    moved(opened.page, -4)
    line = float(opened.page.locator("#line-number").input_value())

    shown = [cells for cells in by_name(opened).values() if cells[2] != "no games"]

    touches = {}
    called = {}
    for name, verdict, chance, _, ends, *_ in shown:
        low, high = (float(end.rstrip("%")) for end in ends.split(" to "))
        touches[name] = (low < line < high, high < line, low > line)
        called.setdefault(chance, set()).add(verdict[2:])
    wanted = {"more games": (True, False, False), "cut": (False, True, False)}
    assert touches == {
        cells[0]: wanted.get(cells[1][2:], (False, False, True)) for cells in shown
    }
    assert {chance: len(verdicts) for chance, verdicts in called.items()} == dict.fromkeys(
        called, 1
    )


BARS = """() => [...document.querySelectorAll("svg.estimates .rows > g")].flatMap(group => {
    const [wide, range] = ["wide", "range"].map(name =>
        group.querySelector(`.${name}`).getAttribute("d").match(/[\\d.]+/g).map(Number));
    const mark = group.querySelector(".mark");
    const heights = mark.getAttribute("y").trim().split(" ").map(Number);
    return [...mark.textContent].map((glyph, k) => {
        const ends = [range, wide].flatMap(path => [path[3 * k], path[3 * k + 2]]);
        const name = [...document.querySelectorAll("svg.estimates .names text")].find(
            text => Number(text.getAttribute("y")) === heights[k] + 1);
        return [name.textContent, group.getAttribute("class").split(" ")[0], glyph, ...ends,
            heights[k] - 3, range[3 * k + 1], wide[3 * k + 1]];
    });
}).sort((a, b) => a[8] - b[8])"""


def test_the_picture_follows_the_line(opened: Opened):
    moved(opened.page, 12)

    rows = opened.page.evaluate(BARS)
    line = float(opened.page.locator("svg.estimates .line").get_attribute("x1"))
    shown = opened.page.evaluate(CELLS)

    verdicts = {cells[0]: cells[1] for cells in shown}
    sides = {
        "cut": lambda low, high: high <= line - 0.9,
        "keep": lambda low, high: low >= line + 0.9,
        "wait": lambda low, high: low <= line <= high,
    }
    assert {row[0] for row in rows} == set(verdicts)
    assert len(rows) == len(verdicts)
    assert [row[2] for row in rows] == [verdicts[row[0]][0] for row in rows]
    assert [row[8:] for row in rows if len(set(row[7:])) > 1] == []
    assert [row[0] for row in rows if not sides[row[1]](*row[3:5])] == []


def test_dots_stand_on_their_rows_where_the_report_drew_them(opened: Opened):
    moved(opened.page, 12)

    paths = opened.page.evaluate(
        """() => [...document.querySelectorAll("#estimates-dots path")].map(
            path => [path.getAttribute("class"), path.getAttribute("d")])"""
    )

    root = ET.fromstring(estimates.svg(opened.ranking.verdict))
    drawn = {y: x for group in dotted(root, estimates.DOTS) for x, y in group}
    rows = {row[7]: row[1] for row in opened.page.evaluate(BARS)}
    found = {
        float(y): (look.split(" ")[0], float(x))
        for look, path in paths
        for x, y in re.findall(r"M([\d.]+) ([\d.]+)h0", path)
    }
    assert {y: look for y, (look, _) in found.items()} == rows
    assert set(drawn) == set(found)
    assert max(abs(drawn[y] - x) for y, (_, x) in found.items()) < 0.11


def test_bars_stay_where_they_are_while_only_the_line_moves(opened: Opened):
    asked(opened.page, opened.ranking.verdict.sure)
    opened.page.reload()
    before = np.array([row[3:7] for row in opened.page.evaluate(BARS)])
    moved(opened.page, 60)

    after = np.array([row[3:7] for row in opened.page.evaluate(BARS)])

    assert np.abs(after - before).max() <= 1.1


def test_bars_widen_with_how_sure_the_reader_asks_to_be(opened: Opened):
    spans = []
    for sure in (0.6, 0.9, 0.99):
        asked(opened.page, sure)
        ends = np.array([row[3:7] for row in opened.page.evaluate(BARS)])
        spans.append((ends[:, 1] - ends[:, 0], ends[:, 3] - ends[:, 2]))

    (narrow, _), (middle, wide), (broad, broadest) = spans
    assert (middle > 3 * narrow).all()
    assert (wide > 1.3 * middle).all()
    assert (broad > 1.5 * middle).mean() > 0.9
    assert (broadest >= broad - 0.11).all()


def test_the_summary_is_that_of_the_report_at_that_line(opened: Opened):
    pool = opened.ranking.verdict
    wanted = judged_at(pool, pool.line + 0.012, pool.sure)
    asked(opened.page, pool.sure)
    moved(opened.page, 12)

    said = {
        name: opened.page.locator(f"[data-live={name}]").text_content()
        for name in ("counts", "line", "wrong", "weakest")
    }

    weakest = [card for card in wanted.cards if card.verdict == "cut"][:5]
    assert said["counts"] == counts_sentence(wanted)
    assert said["line"] == line_sentence(wanted)
    assert said["wrong"] == expected_wrong(wanted)
    assert said["weakest"].startswith(
        "Cut first, with best estimate and chance of being below the line: "
        + "; ".join(
            f"{card.card} ({card_words.estimate(card, wanted)}, "
            f"{card_words.chance_below(card, wanted)})"
            for card in weakest
        )
    )


def test_the_sentence_of_a_card_is_that_of_the_report_at_that_line(opened: Opened):
    pool = opened.ranking.verdict
    wanted = judged_at(pool, pool.line - 0.003, pool.sure)
    asked(opened.page, pool.sure)
    moved(opened.page, -3)
    places = list(range(0, len(pool.cards), 37))

    said = {}
    for place in places:
        opened.page.locator("#cards tbody th button").nth(place).click()
        said[place] = opened.page.locator("#detail p").first.text_content()
        opened.page.keyboard.press("Escape")

    assert said == {
        place: f"{card.card}: {SETTLING.sub('', verdict_sentence(card, wanted))}"
        for place, card in enumerate(wanted.cards)
        if place in places
    }
    assert len(places) > 2


def test_numbers_are_rounded_by_the_rules_of_the_report(opened: Opened):
    rates = [*np.linspace(0.3, 0.7, 401).tolist(), 0.4825, 0.4875, 0.499996, 0.50004, 0.5]
    lines = [0.5, 0.48, 0.48873, 0.5314437290351924, 0.4825]

    found = opened.page.evaluate(
        f"([rates, lines]) => {{ {source('words.js')} "
        """return {
            beside: lines.map(line => rates.flatMap(rate =>
                [undefined, -1, 1].map(side => besideLine(rate, line, side)))),
            exact: [...rates, ...lines].map(exactPercent),
            points: rates.map(rate => points(rate / 10)),
            expected: rates.map(rate => expected(40 * (rate - 0.3))),
            use: rates.map(rate => use(20 * (rate - 0.5))),
            plural: [0, 1, 2, 999, 1000, 61240, 1234567].map(number => plural(number, "card")),
        }; }""",
        [rates, lines],
    )

    assert found == {
        "beside": [
            [words.beside_line(rate, line, side) for rate in rates for side in (None, -1, 1)]
            for line in lines
        ],
        "exact": [words.exact_percent(rate) for rate in [*rates, *lines]],
        "points": [words.points(rate / 10) for rate in rates],
        "expected": [words.expected(40 * (rate - 0.3)) for rate in rates],
        "use": [words.use(20 * (rate - 0.5)) for rate in rates],
        "plural": [
            words.plural(number, "card") for number in (0, 1, 2, 999, 1000, 61240, 1234567)
        ],
    }


@pytest.mark.parametrize("sure", [0.6, 0.85, 0.9, 0.91, 0.925, 0.99])
def test_twentieths_are_true_to_the_verdict_as_in_the_report(opened: Opened, sure: float):
    chances = np.linspace(0, 1, 501).tolist()
    cut, keep = words.bars(sure)
    rule = Rule(0.5, sure)

    found = opened.page.evaluate(
        f"([chances, sure, bars]) => {{ {source('words.js', 'packing.js', 'beliefs.js')} "
        """return chances.map(chance => {
            const verdict = verdictOf(chance, sure, true);
            return [verdict, twentieths(chance, bars, verdict)];
        }); }""",
        [chances, sure, {"cut": cut, "keep": keep}],
    )

    verdicts = [rule.verdict(chance) for chance in chances]
    assert found == [
        [verdict, words.twentieths(chance, sure, verdict)]
        for chance, verdict in zip(chances, verdicts, strict=True)
    ]


def test_a_line_over_the_baseline_is_called_so(opened: Opened):
    pool = opened.ranking.verdict
    moved(opened.page, 45)

    said = opened.page.locator("[data-live=line]").text_content()

    line, baseline = words.exact_percent(pool.line + 0.045), words.exact_percent(pool.baseline)
    assert said == (
        f"A card is weak below the line of {line}: 2.5 points over the baseline of {baseline} "
        "(the mean of this table)."
    )


@pytest.mark.parametrize(
    ("verdict", "games"),
    [("cut", 400), ("keep", 400), ("more games", 400), ("more games", 0)],
)
def test_numbers_too_near_the_line_to_tell_go_with_the_verdict(
    opened: Opened, verdict: str, games: int
):
    pool = opened.ranking.verdict
    offs = [-0.02, -2e-4, -3e-6, -1e-10, 0.0, 1e-10, 3e-6, 2e-4, 0.02]
    cards = [
        replace(pool.cards[0], low=low, high=high, estimate=low, verdict=verdict, games=games)
        for low in (pool.line + off for off in offs)
        for high in (pool.line + off for off in offs)
    ]

    found = opened.page.evaluate(
        f"([cards, line, near]) => {{ {source('words.js', 'packing.js', 'sentences.js')} "
        """return cards.map(([low, high, verdict, isKnown]) => {
            const card = { low, high, estimate: low, verdict, isKnown };
            const shown = shownOf(card, { line }, near);
            return [shown.estimate, shown.range];
        }); }""",
        [
            [[card.low, card.high, verdict, games > 0] for card in cards],
            pool.line,
            words.NEAR,
        ],
    )

    assert found == [
        [card_words.estimate(card, pool), card_words.range_of(card, pool)] for card in cards
    ]


@pytest.mark.parametrize("sure", [0.8, 0.9, 0.95])
@pytest.mark.parametrize("games", [None, 0, 1, 812, 61240])
def test_sentences_are_those_of_the_report_for_every_chance(
    opened: Opened, sure: float, games: int | None
):
    pool = replace(opened.ranking.verdict, sure=sure)
    rule = Rule(pool.line, sure)
    cards = [
        replace(
            pool.cards[0],
            chance_below=chance,
            games=games,
            games_needed=None,
            verdict=rule.verdict(chance, has_games=bool(games)),
        )
        for chance in np.linspace(0, 1, 41).tolist()
    ]
    data = page_data(pool)
    choice = next(choice for choice in sureness(pool) if choice.sure == sure)._asdict()
    shown = [
        {
            "isKnown": bool(games),
            "games": words.count(games),
            "verdict": card.verdict,
            "number": words.twentieths(card.chance_below, sure, card.verdict),
            "shown": {
                "estimate": card_words.estimate(card, pool),
                "range": card_words.range_of(card, pool),
            },
        }
        for card in cards
    ]

    found = opened.page.evaluate(
        f"([cards, at, data]) => {{ {source('words.js', 'packing.js', 'sentences.js')} "
        "return cards.map(card => verdictSentence(card, at, data)); }",
        [shown, {"line": pool.line, "sure": choice}, data],
    )

    assert found == [SETTLING.sub("", verdict_sentence(card, pool)) for card in cards]
