from html.parser import HTMLParser

import pytest

from winrate_tools.report.document import (
    Entries,
    Entry,
    Paragraph,
    Picture,
    Section,
    Table,
    TableColumn,
    Verbatim,
)
from winrate_tools.report.page.blocks import (
    blocks_html,
    column_style,
    figure_html,
    said,
    table_html,
)

NASTY = [
    "<b>bold</b>",
    "</script><script>alert(1)</script>",
    "quote \" and ' mark",
    "a & b &amp; c",
    "\u202egnp.exe",
    "\x1b[31mred",
    "<!-- -->",
    "]]>",
    "`${1}`",
]
TABLE = Table(
    columns=(
        TableColumn("Card"),
        TableColumn("Games", is_number=True, spare=4),
        TableColumn("Verdict", is_toned=True),
        TableColumn("Why", spare=2),
    ),
    rows=(("Ash Vine", "812", "▼ cut", "weak"), ("Tin Moth", "95", "▲ keep", "")),
    tones=("cut", "keep"),
)


class Reading(HTMLParser):
    """Gathers the tags and the texts that a browser would see."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.texts: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)

    def handle_data(self, data):
        self.texts.append(data)


@pytest.mark.parametrize("text", NASTY)
def test_a_text_stays_a_text(text: str):
    blocks = (
        Paragraph(text),
        Entries((Entry(text, text),)),
        Table((TableColumn(text),), ((text,),)),
        Verbatim(text),
    )
    seen = Reading(blocks_html(Section("Nasty", blocks)))

    assert seen.tags == (
        ["p", "ul", "li", "b", "div", "table", "thead", "tr", "th", "tbody", "tr", "th", "pre"]
    )
    assert not any(ord(char) in {0x202E, 0x1B} for char in said(text))


@pytest.mark.parametrize("text", NASTY)
def test_what_is_read_is_what_was_meant(text: str):
    plain = "".join(Reading(said(text)).texts)

    assert plain == text.replace("\u202e", "\\u202e").replace("\x1b", "\\x1b")


def test_a_table_says_once_what_its_columns_are():
    html = table_html(TABLE)

    assert '<table class="n2 s2 t4">' in html
    assert "<tr><th>Ash Vine<td>812<td>▼ cut<td>weak" in html
    assert html.count("class=") == 1


def test_the_style_of_columns_speaks_of_those_that_there_are():
    style = column_style([TABLE, Table((TableColumn("A"), TableColumn("B", True)), ())])

    assert style == (
        ".n2>*>*>:nth-child(2){text-align:right;font-variant-numeric:tabular-nums;"
        "white-space:nowrap}"
        "@media screen and (max-width:700px){.s2>*>*>:nth-child(2){display:none}}"
        "@media screen and (max-width:560px){.t4>*>*>:nth-child(4){display:none}}"
    )
    assert column_style([]) == ""


def test_columns_that_look_alike_share_a_rule():
    three = Table(tuple(TableColumn(name, True) for name in "ABC"), ())

    assert column_style([three]).startswith(
        ".n1>*>*>:nth-child(1),.n2>*>*>:nth-child(2),.n3>*>*>:nth-child(3){text-align:right;"
    )


def test_rows_take_their_tones_where_asked():
    html = table_html(TABLE, tones=True)

    assert "<tr class=cut><th>Ash Vine" in html
    assert "<tr class=keep><th>Tin Moth" in html


def test_headings_carry_what_a_script_needs():
    html = table_html(TABLE, headings=(" data-fact=card", " data-fact=games", "", ""))

    assert "<th data-fact=games>Games<th>Verdict" in html


def test_a_table_without_tones_has_rows_without_classes():
    html = table_html(
        Table((TableColumn("Card"),), (("Ash Vine",), ("Tin Moth",))), tones=False
    )

    assert html.count("<tr>") == 3


def test_a_sentence_that_changes_is_marked_and_the_rest_is_not():
    section = Section("", (Paragraph("2 cards: 1 to cut. More."), Paragraph("2 cards.")))

    html = blocks_html(section, {"counts": "2 cards: 1 to cut."})

    assert html == ("<p><span data-live=counts>2 cards: 1 to cut.</span> More.<p>2 cards.")


def test_a_picture_stands_in_a_frame_that_a_keyboard_can_scroll():
    picture = Picture("luck", "Luck & <skill>", "Read it so.", "Dots.", '<svg width="7"></svg>')

    html = figure_html(picture)

    assert html == (
        "<figure id=figure-luck><figcaption>Read it so.</figcaption>"
        "<div class=scroller role=group aria-labelledby=luck-title tabindex=0>"
        "<svg width=7></svg></div></figure>"
    )
    assert blocks_html(Section("", (picture,))) == (f"<h3>Luck &amp; &lt;skill&gt;</h3>{html}")
