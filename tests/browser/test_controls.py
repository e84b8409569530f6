"""Moving the line, sorting, finding, filtering and opening cards, by keyboard too."""

import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from tests.browser.opening import Open, Opened, moved
from tests.report.figures.drawings import SVG
from winrate_tools import rank
from winrate_tools.report.cards.sentences import face_value_sentence
from winrate_tools.report.figures import luck, use
from winrate_tools.report.page.page import render
from winrate_tools.report.words import exact_percent
from winrate_tools.tables import CardTable

ROWS = "#cards tbody tr:not(#detail)"
NAMES = f"""() => [...document.querySelectorAll("{ROWS}")].filter(row => !row.hidden)
    .map(row => row.cells[0].textContent)"""


@pytest.fixture(scope="module")
def opened(open_page: Open) -> Opened:
    return open_page("cards_by_archetype", every=3)


@pytest.fixture
def page(opened: Opened) -> Page:
    """Return the page as it was when it was opened."""
    page = opened.page
    page.reload()
    return page


def names(page: Page) -> list[str]:
    return page.evaluate(NAMES)


def line_of(opened: Opened, off: float = 0) -> str:
    return exact_percent(opened.ranking.verdict.line + off)


def cards(opened: Opened) -> list[str]:
    return [card.card for card in opened.ranking.verdict.cards]


def test_nothing_is_asked_of_any_other_place_and_the_console_stays_silent(opened, page: Page):
    moved(page, 9)
    page.locator("#cards tbody th button").first.click()

    assert opened.said == []
    assert {url for url in opened.asked if not url.startswith("file:")} == set()
    assert len(set(opened.asked)) == 1


def test_the_line_moves_by_keyboard_and_comes_back(opened, page: Page):
    slider, back = page.locator("#line"), page.locator("#back")
    before = page.locator(".tally b").all_text_contents()
    line = page.locator("#line-number").input_value()
    slider.focus()
    for _ in range(6):
        page.keyboard.press("ArrowRight")
    after = page.locator(".tally b").all_text_contents()
    spoken = slider.get_attribute("aria-valuetext")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")

    assert spoken == f"{float(line) + 0.6:.2f}%"
    assert after != before
    assert page.locator(".tally b").all_text_contents() == before
    assert page.locator("#line-number").input_value() == line
    assert page.evaluate("document.activeElement.id") == "line"
    assert back.is_disabled()


def test_moving_says_at_once_which_cards_change(opened, page: Page):
    pool = opened.ranking.verdict
    moved(page, -12)

    line = page.locator("#changes li").last.text_content()
    was = page.locator("td[data-was]").first

    kept = pool.beliefs.chance_below(pool.line - 0.012) <= 0.1
    new = sum(bool(k) and c.verdict != "keep" for k, c in zip(kept, pool.cards, strict=True))
    assert page.locator("#moved").text_content() == (
        f"Moved from the report's line of {line_of(opened)}, 18 in 20 sure. What changes:"
    )
    assert line.startswith(f"▲ now keep: {new} (")
    assert was.get_attribute("data-was").startswith("was ")
    page.locator("#verdict").select_option("changed")
    assert len(names(page)) == page.locator("td[data-was]").count()


def test_what_holds_for_the_reports_line_only_says_so_once_the_line_is_moved(
    opened, page: Page
):
    note = page.locator("#p1 .for-line")
    hidden = note.is_visible()
    moved(page, 3)

    heading = page.locator("th[data-fact=games_needed] button").text_content()

    assert not hidden
    assert note.is_visible()
    assert note.text_content() == f"For the report's line of {line_of(opened)}, 18 in 20 sure."
    assert heading == f"Games needed at {line_of(opened)}"
    assert (
        page.locator("th[data-fact=chance_below] button").text_content()
        == f"Below {line_of(opened, 0.003)}"
    )


def test_the_sentence_on_records_at_face_value_says_whose_line_it_holds_for(open_page: Open):
    opened = open_page("cards", every=3)
    sentence = opened.page.locator("[data-live=assumed]")
    before = sentence.text_content()
    moved(opened.page, 3)
    after = sentence.text_content()
    opened.page.locator("#back").click()

    assert before == face_value_sentence(opened.ranking.verdict)
    assert before.startswith("Much hangs on how much of a record is the card's own")
    assert after == f"For the report's line of {line_of(opened)}, 18 in 20 sure. {before}"
    assert sentence.text_content() == before


@pytest.fixture
def bare(open_page: Open) -> Opened:
    """Open a page of nothing but games and wins, some of them few."""
    games = np.repeat([40, 20_000], 40)
    names, wins = [f"Lamp {k}" for k in range(80)], (0.55 * games).astype(int) + 7
    ranking = rank(CardTable(names, games, wins), margin=0.05)
    opened = open_page("cards", every=9)
    opened.page.set_content(render(ranking.verdict, ranking.source, origins={}, version="1"))
    return opened


def test_a_table_that_tells_nothing_of_use_has_its_controls_all_the_same(bare: Opened):
    moved(bare.page, 9)

    assert bare.page.locator("svg.use").count() == 0
    assert bare.page.locator("#controls").is_visible()
    assert bare.page.locator("#moved").text_content().startswith("Moved from the report's line")
    assert bare.said == []


def test_a_keep_of_few_games_says_in_its_details_that_the_pool_settles_it(bare: Opened):
    page = bare.page
    page.locator("th[data-fact=games_needed] button").click()

    page.locator("#cards tbody th button", has_text=re.compile("^Lamp 3$")).click()

    assert "settledby the pool: its own games (40) say little" in (
        page.locator("#detail dl").first.text_content()
    )
    cells = page.locator(f"{ROWS} td:nth-child(10)").all_text_contents()
    assert set(cells) == {"settled", "settled by the pool"}


def test_reasons_follow_the_line_or_name_theirs(opened, page: Page):
    moved(page, 60)
    why = f"{ROWS} td:nth-child(9)"

    said = page.locator(why).all_text_contents()

    cards = opened.ranking.verdict.cards
    others = [[it for it in card.reasons if it != "weak"] for card in cards]
    at = [f"at {line_of(opened)}: {', '.join(it)}" if it else "" for it in others]
    cut = opened.ranking.verdict.beliefs.chance_below(opened.ranking.verdict.line + 0.06) >= 0.9
    assert said == [
        "; ".join(part for part in ("weak" if is_cut else "", rest) if part)
        for is_cut, rest in zip(cut, at, strict=True)
    ]
    assert sum(cut) > sum(card.verdict == "cut" for card in cards)


@pytest.mark.parametrize("typed", ["49.5", "53.97", "0.5", "99", "99.99"])
def test_a_typed_line_is_taken(opened, page: Page, typed: str):
    page.locator("#line-number").fill(typed)
    page.keyboard.press("Tab")

    assert page.locator("th[data-fact=chance_below] button").text_content() in {
        f"Below {typed}%",
        f"Below {typed}.0%",
    }
    assert page.locator("#line-number").get_attribute("aria-invalid") is None


def test_a_typed_line_may_have_a_comma_and_enter_takes_it_in_silence(opened, page: Page):
    page.locator("#line-number").fill("49,5 %")
    page.keyboard.press("Enter")

    assert page.locator("th[data-fact=chance_below] button").text_content() == "Below 49.5%"
    expect(page.locator("#spoken")).to_contain_text("Line 49.5%")
    assert opened.said == []


@pytest.mark.parametrize("typed", ["", "0", "0,0", "1,2,3", "100", "abc", "-3", "5e1", "0x10"])
def test_a_typed_line_that_is_none_is_marked_and_let_go(opened, page: Page, typed: str):
    page.locator("#line-number").fill(typed)
    marked = page.locator("#line-number").get_attribute("aria-invalid")
    page.keyboard.press("Tab")

    assert marked == "true"
    assert page.locator("#line-number").input_value() == line_of(opened)[:-1]
    assert page.locator("body.moved").count() == 0


def test_the_order_changes_only_when_the_slider_is_let_go(opened, page: Page):
    page.locator("th[data-fact=chance_below] button").click()
    before = names(page)
    page.evaluate(
        """() => {
            const slider = document.querySelector("#line");
            slider.value = 45;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
        }"""
    )
    during = names(page)
    moved(page, 45)

    assert during == before
    assert names(page) != before


def test_every_column_sorts_both_ways_and_one_at_a_time(opened, page: Page):
    facts = page.evaluate(
        "() => [...document.querySelectorAll('#cards thead th')].map(th => th.dataset.fact)"
    )

    for fact in facts:
        button = page.locator(f"th[data-fact={fact}] button")
        button.focus()
        page.keyboard.press("Enter")
        first = names(page)
        page.keyboard.press("Enter")
        sorts = page.locator("#cards th[aria-sort]")
        assert names(page) != first
        assert sorts.count() == 1
        assert sorts.get_attribute("data-fact") == fact

    assert len(facts) == 10


def test_sorting_knows_numbers_names_and_unknowns(opened, page: Page):
    pool = opened.ranking.verdict
    page.locator("th[data-fact=games] button").click()
    games = names(page)
    page.locator("th[data-fact=card] button").click()
    alphabet = names(page)
    page.locator("th[data-fact=estimate] button").click()
    weakest = names(page)

    count = {card.card: card.games for card in pool.cards}
    assert [count[name] for name in games] == sorted(count.values())
    assert alphabet == sorted(count)
    assert weakest == cards(opened)


def test_blanks_come_last_whichever_way(opened, page: Page):
    why = page.locator("th[data-fact=why] button")
    lasts = []
    for _ in range(2):
        why.click()
        lasts.append(page.locator(f"{ROWS} td:nth-child(9)").last.text_content())

    assert lasts == ["", ""]


def test_a_card_is_found_by_a_part_of_its_name_in_any_case(opened, page: Page):
    page.locator("#find").fill("LANTERN ")

    wanted = [name for name in cards(opened) if "lantern" in name.lower()]
    assert names(page) == wanted
    assert page.locator("#shown").text_content() == f"Shown: {len(wanted)} of 80 cards."
    expect(page.locator("#spoken")).to_have_text(f"Shown: {len(wanted)} of 80 cards.")


@pytest.fixture
def named(open_page: Open) -> Opened:
    """Open a page of cards whose names have accents and apostrophes."""
    cards = ["Étoile d'été", "Toile", "Bœuf", "Kite"]
    ranking = rank(CardTable(cards, [400] * 4, [200] * 4))
    opened = open_page("cards", every=9)
    opened.page.set_content(render(ranking.verdict, ranking.source, origins={}, version="1"))
    return opened


@pytest.mark.parametrize("typed", ["etoile d", "ÉTOILE D\u2019ÉTÉ", "étoile dete"])
def test_a_card_is_found_without_its_accents_blanks_and_punctuation(named: Opened, typed: str):
    named.page.locator("#find").fill(typed)

    assert names(named.page) == ["Étoile d'été"]


def test_filters_by_verdict_faction_and_archetype_work_together(opened, page: Page):
    waiting = [c for c in opened.ranking.verdict.cards if c.verdict == "more games"]
    homes = {c.card: {home.archetype for home in c.homes} for c in waiting}
    faction, home = next(
        (c.faction, home)
        for c in waiting
        for home in sorted(homes[c.card])
        if any(o.faction == c.faction and home not in homes[o.card] for o in waiting)
        and any(o.faction != c.faction and home in homes[o.card] for o in waiting)
    )
    page.locator("#verdict").select_option("more games")
    page.locator("#faction").select_option(faction)
    page.locator("#archetype").select_option(home)

    assert names(page) == [
        card.card for card in waiting if card.faction == faction and home in homes[card.card]
    ]
    assert 0 < len(names(page)) < len(waiting)


def test_a_card_opens_with_dots_reasons_and_its_record_and_closes_again(opened, page: Page):
    card = opened.ranking.verdict.cards[0]
    button = page.locator("#cards tbody th button").first
    button.focus()
    page.keyboard.press("Enter")

    detail = page.locator("#detail")
    cells = [detail.locator("tbody tr").first.locator(f":nth-child({k})") for k in (1, 2, 3)]

    home = card.homes[0]
    assert button.get_attribute("aria-expanded") == "true"
    assert detail.locator("circle").count() == 20
    assert detail.locator("circle.below").count() == 20
    assert [cell.text_content() for cell in cells] == [
        home.archetype,
        f"{home.games:,}",
        f"{home.wins:,}",
    ]
    said = "what it brings lies below the line by more than luck explains"
    assert said in detail.text_content()
    page.keyboard.press("Escape")
    assert detail.count() == 0
    assert page.evaluate("document.activeElement.textContent") == card.card


def test_the_dots_below_the_line_are_as_many_as_said_and_lie_left_of_it(opened, page: Page):
    page.locator("#cards tbody th button").nth(20).click()
    found = []
    for steps in (-20, -4, 0, 4, 20):
        moved(page, steps)
        found.append(
            page.evaluate(
                """() => {
                    const detail = document.querySelector("#detail");
                    const row = detail.previousElementSibling;
                    const line = Number(detail.querySelector(".line").getAttribute("x1"));
                    const dots = [...detail.querySelectorAll("circle")];
                    const left = dots.filter(dot => Number(dot.getAttribute("cx")) < line);
                    if (dots.some(dot => Math.abs(Number(dot.getAttribute("cx")) - line) < 5))
                        return "a dot touches the line";
                    return [row.cells[2].textContent, left.length,
                        left.filter(dot => dot.getAttribute("class") === "below").length];
                }"""
            )
        )

    numbers = {"over 19 in 20": 20, "under 1 in 20": 0}
    said = [numbers.get(text, text.split(" ")[0]) for text, *_ in found]
    assert [(left, below) for _, left, below in found] == [(int(n), int(n)) for n in said]
    assert len({left for _, left, _ in found}) > 2


def test_an_open_card_moves_with_its_row_and_goes_with_it(opened, page: Page):
    page.locator("#cards tbody th button").first.click()
    page.locator("th[data-fact=card] button").click()
    above = page.evaluate("document.querySelector('#detail').previousElementSibling.innerText")
    page.locator("#find").fill("no such card")

    assert above.startswith(cards(opened)[0])
    assert page.locator("#detail").count() == 0
    assert names(page) == []


def test_every_dot_says_whose_it_is(opened, page: Page):
    found = page.evaluate(
        """() => ["luck", "use"].map(name =>
            [...document.querySelectorAll(`.${name}.figure .hover`)].map(dot => [
                dot.textContent, ...["cx", "cy"].map(at => Number(dot.getAttribute(at)))]))"""
    )

    pool = opened.ranking.verdict
    for figure, dots in zip((luck, use), found, strict=True):
        drawn = ET.fromstring(figure.svg(pool)).iter(f"{SVG}use")
        wanted = [[dot[0].text, float(dot.get("x")), float(dot.get("y"))] for dot in drawn]
        assert [dot[0] for dot in dots] == [dot[0] for dot in wanted]
        assert (
            np.abs(np.array([dot[1:] for dot in dots]) - [d[1:] for d in wanted]).max() < 0.01
        )


def test_moving_is_quick(opened, page: Page):
    spent = page.evaluate(
        """() => [...Array(9).keys()].map(step => {
            const slider = document.querySelector("#line");
            const start = performance.now();
            slider.value = step - 4;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
            return performance.now() - start;
        }).sort((a, b) => a - b)[4]"""
    )

    assert spent < 100
