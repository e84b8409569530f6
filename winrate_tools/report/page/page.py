"""The cut report as one HTML file that needs nothing besides itself."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from math import ceil

from winrate_tools.decide.cards.since import Since
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report.cards.card_tables import MARKS, cards_table
from winrate_tools.report.cards.sections import cut_report, weakest_sentence
from winrate_tools.report.cards.sentences import (
    counts_sentence,
    expected_wrong,
    face_value_sentence,
    line_sentence,
)
from winrate_tools.report.cards.since import since_section
from winrate_tools.report.document import Document, Picture, Section, Table, TableColumn
from winrate_tools.report.figures.placing import GLANCE
from winrate_tools.report.forms.glyphs import visible
from winrate_tools.report.page.blocks import (
    CLASSES,
    blocks_html,
    column_style,
    figure_html,
    said,
    table_html,
)
from winrate_tools.report.page.data import archetype_names, page_data, script_safe, sureness
from winrate_tools.report.page.pictures import shapes
from winrate_tools.report.page.slim import slim_script, slim_template
from winrate_tools.report.page.style import digest, page_style, template
from winrate_tools.tables import Source

SCRIPTS = (
    "elements.js",
    "words.js",
    "packing.js",
    "beliefs.js",
    "data.js",
    "sentences.js",
    "table.js",
    "detail.js",
    "figures.js",
    "report.js",
)
FACTS = (
    "card",
    "verdict",
    "chance_below",
    "estimate",
    "range",
    "games",
    "win_rate",
    "rank",
    "why",
    "games_needed",
)
HOMES = Table((TableColumn("Archetype"), *[TableColumn("", is_number=True)] * 4), ())
"""What the script makes tables of: the record of one card by archetype."""
OWN = (
    "belief",
    "below",
    "chance",
    "games",
    "height",
    "isBelow",
    "isKnown",
    "label",
    "look",
    "name",
    "number",
    "rate",
    "shown",
    "tallest",
    "verdict",
    "wideZ",
)
"""What cards and choices have that only the script knows by these names."""
LONGEST_ON_PAPER = 110
"""Rows of the picture of every card that one printed page holds, small but legible."""
STEPS = 1000
"""Steps of the slider in a win rate from 0 to 1."""


def render(
    pool: PoolVerdict,
    source: Source,
    *,
    origins: Mapping[str, str],
    version: str,
    since: Since | None = None,
) -> str:
    """Write the cut report as one page.

    Parameters
    ----------
    pool : PoolVerdict
        A judged pool.
    source : Source
        Where its counts came from.
    origins : mapping of str to str
        Setting to where its value came from.
    version : str
        Version that judged it.
    since : Since, optional
        What an earlier ranking is compared with, to be told after the summary.

    Returns
    -------
    str
        HTML with style, script, pictures and data inside; the same pool gives the same bytes.
    """
    document = cut_report(pool, source, origins=origins, version=version)
    summary, *sections = document.sections
    pictures, sections = _at_a_glance(sections)
    data = page_data(pool)
    news = None if since is None else since_section(since, pool)
    cards = cards_table(pool.cards, pool, FACTS)
    number = Counter(card.verdict for card in pool.cards)
    return _filled(
        data=script_safe(data),
        sureness=sureness(pool),
        archetypes=[visible(name) for name in archetype_names(pool.cards)],
        factions=data["labels"]["faction"]["names"],
        reach=_reach(pool),
        counts={verdict: number[verdict] for verdict in ("cut", "more games", "keep")},
        version=version,
        title=document.title,
        summary=summary,
        news=news,
        sections=sections,
        live=_live(pool),
        glances=[(picture.title, figure_html(picture)) for picture in pictures],
        long=len(pool.cards) > LONGEST_ON_PAPER,
        table=_table(cards),
        style=page_style("page.css") + column_style([cards, HOMES, *_tables(document, news)]),
    )


def _filled(style: str, **parts: object) -> str:
    """Fill the page's template in, with what is the same on every page beside its parts."""
    from jinja2 import Environment, FunctionLoader

    templates = Environment(
        loader=FunctionLoader(lambda name: slim_template(template(name))),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return templates.get_template("page.html.jinja").render(
        policy=_policy(style),
        style=style,
        script=_script(),
        marks=MARKS,
        shapes=shapes(),
        blocks=blocks_html,
        said=said,
        classes=CLASSES,
        **parts,
    )


def _at_a_glance(sections: Sequence[Section]) -> tuple[list[Picture], list[Section]]:
    """Part the pictures of all cards, which have sections of their own, from what follows."""
    [glance] = [section for section in sections if section.title == GLANCE]
    pictures = [picture for picture in glance.blocks if isinstance(picture, Picture)]
    return pictures, [section for section in sections if section is not glance]


def _tables(document: Document, news: Section | None) -> Iterator[Table]:
    for section in (*document.sections, *([news] if news else [])):
        yield from (block for block in section.blocks if isinstance(block, Table))


def _table(table: Table) -> str:
    """Lay out every card; the headings say which fact they head, and what the order is."""
    headings = [f" data-fact={fact}" for fact in FACTS]
    headings[FACTS.index("estimate")] += " aria-sort=ascending"
    return table_html(table, headings=headings, tones=True)


def _live(pool: PoolVerdict) -> dict[str, str]:
    """Name the sentences that change with the line; which cards go first is not always said."""
    live = {
        "counts": counts_sentence(pool),
        "line": line_sentence(pool),
        "wrong": expected_wrong(pool),
        "assumed": face_value_sentence(pool),
        "weakest": weakest_sentence(pool),
    }
    return {name: sentence for name, sentence in live.items() if sentence}


def _reach(pool: PoolVerdict) -> tuple[int, int]:
    """Return how many steps down and up the slider goes: past every card's range."""
    rates = [pool.line, *(end for card in pool.cards for end in (card.low, card.high))]
    down = min(ceil(STEPS * (pool.line - min(rates))) + 10, ceil(STEPS * pool.line) - 1)
    up = min(ceil(STEPS * (max(rates) - pool.line)) + 10, ceil(STEPS * (1 - pool.line)) - 1)
    return -down, up


@cache
def _script() -> str:
    parts = "\n".join(template(name) for name in SCRIPTS)
    return f'"use strict";{{{slim_script(parts, OWN)}}}'


def _policy(style: str) -> str:
    """Allow this style and this script and nothing else."""
    script, style = digest(_script()), digest(style)
    return (
        f"default-src 'none'; script-src {script}; style-src {style}; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
