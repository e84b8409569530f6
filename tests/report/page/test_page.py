import re
from base64 import b64encode
from dataclasses import replace
from hashlib import sha256
from html import unescape
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest

from tests.decide.earlier_pools import earlier_of
from winrate_tools import rank, read_archetypes, read_cards
from winrate_tools.decide.cards.since import since
from winrate_tools.report.cards.card_tables import MARKS
from winrate_tools.report.cards.card_words import chance_below, estimate, range_of
from winrate_tools.report.cards.sections import cut_report
from winrate_tools.report.cards.sentences import face_value_sentence
from winrate_tools.report.cards.since import since_section
from winrate_tools.report.document import Paragraph
from winrate_tools.report.page.data import page_data
from winrate_tools.report.page.page import OWN, SCRIPTS, render
from winrate_tools.settings import Settings
from winrate_tools.tables import CardTable

SAMPLES = Path(__file__).parents[3] / "sample_data"
BANNED = re.compile(r"significan|p-value|confidence interval|\bnull\b", re.IGNORECASE)


def page(pool, source) -> str:
    return render(pool, source, origins={"sure": "given"}, version="1.2.3")


def element(html: str, tag: str, opening: str = "") -> str:
    """Return what stands inside the first element whose tag opens so."""
    return re.search(rf"<{tag}{opening}[^>]*>(.*?)</{tag}>", html, re.DOTALL)[1]


def texts(html: str) -> str:
    """Return what a reader reads, scripts and styles apart."""
    bare = re.sub(r"<(script|style)\b.*?</\1>", " ", html, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", bare)).split())


@pytest.fixture(scope="module")
def sized():
    """Rank pools of any size, as lively as real ones."""

    def ranked(cards: int, *, by_archetype: bool):
        rng = np.random.default_rng(cards)
        names = [f"Card Of Lantern {k}" for k in range(cards)]
        homes = [f"Archetype {k}" for k in range(9)]
        card = [name for name in names for _ in range(4)]
        home = [homes[k] for _ in names for k in sorted(rng.choice(9, 4, replace=False))]
        games = rng.integers(20, 900, len(card))
        wins = rng.binomial(games, np.repeat(rng.normal(0.54, 0.02, cards), 4))
        rows = slice(None) if by_archetype else slice(None, None, 4)
        return rank(
            CardTable(
                card[rows],
                games[rows],
                wins[rows],
                archetype=home if by_archetype else None,
                faction=[f"Faction {k % 6}" for k in range(cards) for _ in range(4)][rows],
                mean_pick=np.repeat(rng.uniform(1, 12, cards), 4)[rows],
            )
        )

    return ranked


@pytest.mark.parametrize(
    ("tag", "directive"), [("script", "script-src"), ("style", "style-src")]
)
def test_only_the_pages_own_script_and_style_are_allowed(pool, source, tag, directive):
    html = page(pool, source)
    policy = unescape(re.search(r'Security-Policy content="([^"]*)"', html)[1])

    inside = element(html, tag, "(?=>)")

    digest = b64encode(sha256(inside.encode()).digest()).decode()
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules[f"{tag}-src"] == f"'sha256-{digest}'"
    assert rules["default-src"] == "'none'"
    assert "unsafe" not in policy


def test_nothing_is_fetched_and_no_style_is_set_in_attributes(pool, source):
    html = page(pool, source)

    assert re.findall(r"""(?:src|href)=(?!["']?(?:#|data:,))""", html) == []
    assert re.findall(r"<[^>]*\sstyle=", html) == []
    assert re.findall(r"<[^>]*\son\w+=", html) == []
    assert "innerHTML" not in html


def test_the_same_pool_gives_the_same_bytes(pool, source):
    assert page(pool, source) == page(pool, source)


def test_the_table_says_of_each_card_what_every_report_says(pool, source):
    table = element(page(pool, source), "table")

    rows = [
        list(map(unescape, row.split("<td>")))[:5]
        for row in re.split(r"<tr class=\w+><th>", table)[1:]
    ]

    assert rows == [
        [
            card.card,
            MARKS[card.verdict],
            chance_below(card, pool),
            estimate(card, pool),
            range_of(card, pool),
        ]
        for card in pool.cards
    ]


def test_every_word_of_the_report_is_on_the_page(pool, source):
    document = cut_report(pool, source, origins={"sure": "given"}, version="1.2.3")
    said = texts(page(pool, source))

    paragraphs = [
        block.text
        for section in document.sections
        for block in section.blocks
        if hasattr(block, "text")
    ]
    assert len(paragraphs) > 8
    assert [text for text in paragraphs if " ".join(text.split()) not in said] == []
    assert [section.title for section in document.sections if section.title not in said] == [
        "All cards at a glance"
    ]


@pytest.mark.parametrize(
    "name",
    [
        "<b>x</b>",
        "</script><script>alert(1)</script>",
        'a" onload="x',
        "\u202eevil",
        "{{ 7*7 }}",
    ],
)
def test_a_card_may_be_called_anything(pool, source, name: str):
    plain = page(pool, source)
    cards = tuple(
        replace(card, card=name, faction=name, role=name) if i == 1 else card
        for i, card in enumerate(pool.cards)
    )

    html = page(replace(pool, cards=cards), replace(source, name=name))

    assert html.count("<script") == plain.count("<script")
    assert html.count("<b>") == plain.count("<b>")
    assert "\u202e" not in html
    assert "onload=" not in re.sub(r">[^<]*", ">", html).replace("&quot; onload=&quot;", "")
    assert name.replace("\u202e", "\\u202e") in texts(html)


def test_no_banned_word_is_on_the_page(pool, source):
    html = page(pool, source)
    data = element(html, "script", " type")

    assert BANNED.findall(texts(html)) == []
    assert (
        BANNED.findall(data.replace(":null", "").replace(",null", "").replace("[null", ""))
        == []
    )


def test_what_changed_since_an_earlier_ranking_stands_right_after_the_summary(pool, source):
    earlier = earlier_of(pool, line=pool.line - 0.01)
    found = since(earlier, pool, Settings())

    html = render(pool, source, origins={}, version="1", since=found)

    titles = re.findall("<h2>(.*?)</h2>", html)
    told = [b.text for b in since_section(found, pool).blocks if isinstance(b, Paragraph)]
    assert titles[:2] == ["In one minute", "Since last time"]
    assert "<a href=#since>Since last time" in html
    assert len(told) >= 3
    assert [text for text in told if text not in texts(html)] == []
    assert "Since last time" not in page(pool, source)


def test_the_slider_reaches_past_every_range_and_never_to_the_ends(pool, source):
    html = page(pool, source)

    low, high = (int(re.search(rf" {end}=(-?\d+)", html)[1]) for end in ("min", "max"))

    assert pool.line + low / 1000 < min(card.low for card in pool.cards)
    assert pool.line + high / 1000 > max(card.high for card in pool.cards)
    assert 0 < pool.line + low / 1000 < pool.line + high / 1000 < 1


def test_a_pool_with_nothing_to_cut_leaves_room_for_what_a_moved_line_would_cut(
    make_card, make_pool, source
):
    html = page(make_pool(make_card("River Bell", 0.56), make_card("Tin Moth", 0.57)), source)

    assert "<p data-live=weakest></p>" in html
    assert "No card is called cut." in html


def test_the_sentence_on_records_at_face_value_can_be_found_by_the_script(pool, source):
    hanging = replace(pool, face_value=(8, 0))

    assert f"<span data-live=assumed>{face_value_sentence(hanging)}<" in page(hanging, source)
    assert "data-live=assumed" not in page(pool, source)


def test_a_filter_is_offered_only_for_labels_that_there_are(pool, source, make_card, make_pool):
    labelled = make_pool(make_card("Ash Vine", 0.47, faction="Wick"), make_card("Elm", 0.5))

    assert "id=faction" not in page(pool, source)
    assert "<option>Wick" in page(labelled, source)
    assert "id=archetype" not in page(labelled, source)


@pytest.mark.parametrize(
    ("cards", "by_archetype", "kib"),
    [(60, False, 80), (60, True, 80), (540, False, 500), (540, True, 500)],
)
def test_a_page_is_small(sized, cards: int, by_archetype: bool, kib: int):
    ranking = sized(cards, by_archetype=by_archetype)

    html = page(ranking.verdict, ranking.source)

    assert len(html.encode()) <= 1024 * kib


@pytest.mark.parametrize(
    ("cards", "archetypes"),
    [("cards.csv", None), ("cards_by_archetype.csv", "archetypes.csv")],
)
def test_the_page_of_the_first_sixty_sample_cards_is_small(cards: str, archetypes: str | None):
    head, *rows = (SAMPLES / cards).read_bytes().splitlines(keepends=True)
    names = list(dict.fromkeys(row.split(b",", 1)[0] for row in rows))[:60]
    kept = [row for row in rows if row.split(b",", 1)[0] in names]
    ranking = rank(
        read_cards(BytesIO(b"".join([head, *kept]))),
        archetypes=archetypes and read_archetypes(SAMPLES / archetypes),
    )

    html = page(ranking.verdict, ranking.source)

    assert len(ranking.verdict.cards) == 60
    assert len(html.encode()) <= 1024 * 80


def test_the_data_know_nothing_by_the_names_that_only_the_script_knows(pool, source):
    def names(value) -> set[str]:
        if isinstance(value, dict):
            return set(value).union(*map(names, value.values()))
        return set()

    known = names(page_data(pool))

    assert len(known) > 20
    assert known & set(OWN) == set()


def test_what_only_the_script_knows_has_short_names(pool, source):
    script = element(page(pool, source), "script", "(?=>)")

    assert [name for name in OWN if re.search(rf"\.{name}\b|[{{,]{name}\b", script)] == []


def test_the_style_speaks_of_the_columns_of_every_table(pool, source):
    html = page(pool, source)

    looks = {
        look for found in re.findall('<table class="(.*?)"', html) for look in found.split()
    }
    styled = set(re.findall(r"\.([nst]\d+)>", element(html, "style")))
    assert len(looks) > 10
    assert styled == looks | {"n2", "n3", "n4", "n5"}


def test_the_scripts_know_each_other(pool, source):
    script = element(page(pool, source), "script", "(?=>)")

    assert script.startswith('"use strict";{')
    assert len(SCRIPTS) == 10
    assert not re.search(r"\b(?:fetch|XMLHttpRequest|eval|localStorage)\b", script)
