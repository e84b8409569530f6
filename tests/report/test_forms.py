"""Every form of a report says the same, in words that everybody may read."""

import json
import re
from collections.abc import Callable, Iterator
from functools import cache
from html.parser import HTMLParser
from io import BytesIO

import numpy as np
import pytest
from python_calamine import CalamineWorkbook

from tests.decide.earlier_pools import earlier_of
from winrate_tools.columns import RANKING_COLUMNS
from winrate_tools.decide.cards.since import since
from winrate_tools.ranking import Ranking, rank
from winrate_tools.report import words
from winrate_tools.report.cards import records, sections, sheet
from winrate_tools.report.cards.brief import brief
from winrate_tools.report.cards.ranking import ranking_document
from winrate_tools.report.cards.since import with_since
from winrate_tools.report.document import Document, Table
from winrate_tools.report.forms import markdown, text
from winrate_tools.report.likelihood import likelihood
from winrate_tools.report.page.page import render
from winrate_tools.settings import Settings
from winrate_tools.tables import CardTable, Source

BANNED = re.compile(
    r"(?i:\b(?:in)?significan\w*|\bp[- ]values?\b|\bconfidence intervals?\b|\bnull\b)"
    r"|\b1 in (?!20\b)|\bNone\b(?! [a-z])|\bnan\b|\binf\b"
)
SCALE = sorted({likelihood(number) for number in range(21)}, key=len, reverse=True)
SPOKEN = re.compile(rf"(?<![\w-])(?:{'|'.join(SCALE)})(?![\w-])")
NUMBERED = re.compile(r"(?:\d+ in 20 \(|\d+ or more: |\d+ to \d+: )$")
BARE_RANK = re.compile(r"\brank(?:ed|s)?\s+(?:no\.\s*|number\s+)?\d", flags=re.IGNORECASE)
SOURCE = Source(name="cards.csv", notes=("the column Plays holds games",))


def table(seed: int, cards: int, *, archetypes: int = 1, **columns: object) -> CardTable:
    """Play cards of different strength, each in every archetype."""
    rng = np.random.default_rng(seed)
    names = [f"Lamp {n}" for n in range(cards)] * archetypes
    rates = np.tile(np.linspace(0.42, 0.62, cards), archetypes)
    games = rng.integers(200, 4000, size=len(names))
    homes = [f"Street {n}" for n in range(archetypes) for _ in range(cards)]
    split = {"archetype": homes} if archetypes > 1 else {}
    wins = rng.binomial(games, rates)
    return CardTable(names, games, wins, source=SOURCE, **split, **columns)


def without_games() -> CardTable:
    games, wins = np.array([900.0] * 9), np.arange(380.0, 470, 10)
    games[3] = wins[3] = 0
    games[4] = wins[4] = np.nan
    return CardTable([f"Lamp {n}" for n in range(9)], games, wins, source=SOURCE)


PICKS = {"mean_pick": np.linspace(1, 12, 45)[::-1]}
POOLS = {
    "totals": lambda: rank(table(1, 30)),
    "use": lambda: rank(table(2, 45, **PICKS), allowance=1, margin=0.05),
    "archetypes": lambda: rank(table(3, 25, archetypes=4)),
    "two cards": lambda: rank(table(4, 2), baseline=0.5),
    "no games": lambda: rank(without_games(), baseline=0.45),
    "very sure": lambda: rank(table(5, 30), sure=0.97, target="even"),
    "hardly sure": lambda: rank(table(5, 30), sure=0.6),
    "no cuts": lambda: rank(table(6, 12), baseline=0.3),
}


@cache
def judged(name: str) -> Ranking:
    return POOLS[name]()


def document(ranking: Ranking) -> Document:
    """The cut report, with what changed since the line was lower."""
    pool = ranking.verdict
    earlier = earlier_of(pool, line=pool.line - 0.03)
    report = sections.cut_report(pool, ranking.source, origins={}, version="0.1.0")
    return with_since(report, since(earlier, pool, Settings()), pool)


class Seen(HTMLParser):
    """What a reader of a page sees: its text, and its rows of cells."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.text: list[str] = []
        self.rows: list[list[str]] = []
        self.hidden = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in {"script", "style"}:
            self.hidden = tag
        if tag == "tr":
            self.rows.append([])
        if tag in {"td", "th"}:
            self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == self.hidden:
            self.hidden = ""
        if tag in {"table", "tbody"}:
            self.rows.append([])

    def handle_data(self, data: str) -> None:
        if self.hidden:
            return
        self.text.append(data)
        if self.rows and self.rows[-1]:
            self.rows[-1][-1] += data.strip()


@cache
def page(name: str) -> Seen:
    found = judged(name)
    return Seen(render(found.verdict, found.source, origins={}, version="0.1.0"))


@cache
def workbook(name: str) -> dict[str, list[list[object]]]:
    found = judged(name)
    pool = found.verdict
    data = sheet.workbook(
        pool, pool.cards, found.source, found.settings, origins={}, version="0.1.0"
    )
    book = CalamineWorkbook.from_filelike(BytesIO(data))
    return {sheet: book.get_sheet_by_name(sheet).to_python() for sheet in book.sheet_names}


def record(name: str) -> dict[str, list[dict[str, dict[str, str]]]]:
    found = judged(name)
    pool = found.verdict
    return json.loads(
        records.json_text(
            pool, pool.cards, found.source, found.settings, origins={}, version="0.1.0"
        )
    )


def in_brief(name: str) -> str:
    found = judged(name)
    pool = found.verdict
    earlier = since(earlier_of(pool, line=pool.line - 0.03), pool, Settings())
    return brief(pool, found.source, version="0.1.0", since=earlier)


def listed(name: str) -> Document:
    found = judged(name)
    return ranking_document(found.verdict, found.source, found.verdict.cards)


def shown_to_programs(name: str) -> str:
    return "\n".join(each for card in record(name)["cards"] for each in shown_of(card))


def in_cells(name: str) -> str:
    rows = [row for rows in workbook(name).values() for row in rows]
    return "\n".join(cell for row in rows for cell in row if isinstance(cell, str))


FORMS: dict[str, Callable[[str], str]] = {
    "text": lambda name: text.render(document(judged(name))),
    "ranking": lambda name: text.render(listed(name)),
    "markdown": lambda name: markdown.render(document(judged(name)), "cuts"),
    "brief": in_brief,
    "page": lambda name: " ".join(page(name).text),
    "json": shown_to_programs,
    "workbook": in_cells,
}
"""All that each form lets its reader read."""


@cache
def said(form: str, name: str) -> str:
    return FORMS[form](name)


def shown_of(card: dict[str, dict[str, str]]) -> list[str]:
    return list(card["shown"].values())


def tables(report: Document) -> Iterator[Table]:
    for section in report.sections:
        yield from (block for block in section.blocks if isinstance(block, Table))


@pytest.mark.parametrize("name", POOLS)
@pytest.mark.parametrize("form", FORMS)
def test_no_form_says_what_only_statisticians_would(form: str, name: str):
    told = said(form, name)

    assert re.search(r"\d", told)
    assert BANNED.findall(told) == []


@pytest.mark.parametrize(
    "phrase",
    ["is significant", "P-value", "p value", "confidence interval", "null", "1 in 10", "None:"],
)
def test_the_eye_for_banned_words_sees(phrase: str):
    assert BANNED.search(f"This is {phrase} 3.")


@pytest.mark.parametrize("phrase", ["1 in 20", "11 in 20", "nonetheless", "None can"])
def test_the_eye_for_banned_words_lets_pass(phrase: str):
    assert not BANNED.search(phrase)


@pytest.mark.parametrize("name", POOLS)
@pytest.mark.parametrize("form", FORMS)
def test_no_word_of_the_scale_stands_without_its_number(form: str, name: str):
    told = " ".join(said(form, name).replace("\\(", "(").split())

    bare = [
        found[0]
        for found in SPOKEN.finditer(told)
        if not NUMBERED.search(told[: found.start()])
    ]
    assert bare == []


@pytest.mark.parametrize("name", POOLS)
def test_the_scale_is_spoken_where_verdicts_are_reasoned(name: str):
    assert SPOKEN.search(said("markdown", name))


@pytest.mark.parametrize("name", POOLS)
@pytest.mark.parametrize("form", FORMS)
def test_no_rank_is_a_single_number(form: str, name: str):
    assert BARE_RANK.findall(said(form, name)) == []


@pytest.mark.parametrize("name", POOLS)
def test_every_rank_in_a_table_is_a_range(name: str):
    ranked = [
        row[place]
        for each in tables(document(judged(name)))
        for place, column in enumerate(each.columns)
        if column.heading.startswith("Rank")
        for row in each.rows
    ]

    assert ranked
    assert [cell for cell in ranked if not re.fullmatch(r"[\d,]+ to [\d,]+", cell)] == []


@pytest.mark.parametrize("name", POOLS)
def test_a_page_has_the_calls_and_numbers_of_programs(name: str):
    rows = {row[0]: row for row in page(name).rows[::-1] if row and row[0].startswith("Lamp")}

    cards = record(name)["cards"]
    assert set(rows) >= {card["card"] for card in cards}
    assert [card["card"] for card in cards if not _agree(rows[card["card"]], card)] == []


@pytest.mark.parametrize("name", POOLS)
def test_a_workbook_has_the_calls_and_numbers_of_programs(name: str):
    rows = {row[0]: row for row in workbook(name)["Cards"]}

    cards = record(name)["cards"]
    first = len(RANKING_COLUMNS)
    assert [rows[card["card"]][first:] for card in cards] == [shown_of(card) for card in cards]
    assert [card["card"] for card in cards if card["verdict"] not in rows[card["card"]]] == []


@pytest.mark.parametrize("name", POOLS)
@pytest.mark.parametrize("form", ["ranking", "rank as markdown"])
def test_a_ranking_has_the_calls_and_numbers_of_programs(form: str, name: str):
    told = said("ranking", name) if form == "ranking" else markdown.render(listed(name))
    cells = [re.split(r" {2,}| \| ", line.strip("| ")) for line in told.splitlines()]
    rows = {row[0].strip(): [cell.strip() for cell in row] for row in cells}

    cards = record(name)["cards"]
    assert [card["card"] for card in cards if not _agree(rows[card["card"]], card)] == []


def _agree(row: list[str], card: dict) -> bool:
    """Whether a row has a card's call, estimate, range, chance, rank and games needed."""
    printed = {key: value for key, value in card["shown"].items() if key != "chance_worst"}
    calls = [cell for cell in row if cell.split(" ", 1)[-1] == card["verdict"]]
    return len(calls) == 1 and set(printed.values()) <= set(row)


@pytest.mark.parametrize("name", POOLS)
def test_ten_lines_name_the_cuts_with_the_numbers_of_programs(name: str):
    told = said("brief", name)

    cuts = [card for card in record(name)["cards"] if card["verdict"] == "cut"]
    assert len(told.splitlines()) <= 10
    for card in cuts[:6]:
        shown = card["shown"]
        numbers = f"{shown['chance_below']}; {shown['estimate']}, {shown['range']}, "
        assert f"{card['card']} ({numbers}{card['games']:,})" in told
    assert ("No card is called cut." in told) == (not cuts)


@pytest.mark.parametrize("name", POOLS)
def test_every_verdict_sentence_has_chance_line_estimate_range_and_games(name: str):
    pool = judged(name).verdict
    sentences = [sections.verdict_sentence(card, pool) for card in pool.cards if card.games]

    line = re.escape(words.exact_percent(pool.line))
    whole = re.compile(
        rf"^(?:over |under )?\d+ in 20 \([a-z ]+\) that its true win rate is below {line}"
        r".*\. Best estimate [\d.]+% \([\w ,]+ range: [\d.]+ to [\d.]+%\) from [\d,]+ games?\."
    )
    assert [sentence for sentence in sentences if not whole.match(sentence)] == []
    assert len(sentences) >= 2
