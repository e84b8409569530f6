"""A document in a notebook."""

import re
from base64 import b64decode
from html.parser import HTMLParser

import pytest

from winrate_tools.report.cards.ranking import ranking_document
from winrate_tools.report.cards.sections import cut_report
from winrate_tools.report.document import (
    Document,
    Entries,
    Entry,
    Paragraph,
    Picture,
    Section,
    Table,
    TableColumn,
    Verbatim,
)
from winrate_tools.report.forms.notebook import render


def shown(*blocks) -> str:
    return render(Document("T", (Section("", blocks),)))


def test_the_ranking_has_every_card_with_names_escaped(pool, source):
    said = render(ranking_document(pool, source, pool.cards))

    assert said.count("<tr>") == 1 + len(pool.cards)
    assert re.search(r"<td[^>]*>a\|b &lt;i&gt;</td>", said)
    assert re.search(r"<td[^>]*>41.0 to 46.2%</td>", said)
    assert said.startswith("<p>8 cards: 2 to cut")


def test_numbers_stand_to_the_right_and_do_not_break():
    table = Table(
        (TableColumn("Card"), TableColumn("Range", is_number=True)), (("A", "1 to 2"),)
    )
    said = shown(table)

    assert '<td style="text-align:left">A</td>' in said
    assert '<td style="text-align:right;white-space:nowrap">1 to 2</td>' in said
    assert '<th style="text-align:right;white-space:nowrap">Range</th>' in said


def test_a_long_table_scrolls_in_its_own_frame():
    said = shown(Table((TableColumn("Card"),), (("A",),)))

    assert said.startswith('<div style="max-height:32em;overflow:auto"><table>')
    assert said.endswith("</table></div>")


@pytest.mark.parametrize(
    ("block", "said"),
    [
        (Paragraph("a < b\u202e"), "<p>a &lt; b\\u202e</p>"),
        (Entries((Entry("a<", "b&"),)), "<ul><li><b>a&lt;</b>: b&amp;</ul>"),
        (Verbatim("a  <\n^"), "<pre>a  &lt;\n^</pre>"),
    ],
)
def test_every_block_is_written_with_its_text_escaped(block, said: str):
    assert shown(block) == said


def test_a_picture_is_an_image_of_its_own():
    picture = Picture("luck", "Luck <", "How & why", 'alt "x"', '<svg xmlns="s" id="a"></svg>')
    said = shown(picture)

    data = re.search(r'src="data:image/svg\+xml;base64,([^"]+)"', said)[1]
    assert b64decode(data).decode().startswith('<svg xmlns="s" id="a"><style>')
    assert 'alt="alt &quot;x&quot;"' in said
    assert said.startswith("<p><b>Luck &lt;.</b> How &amp; why</p>")


def test_titles_are_left_out_only_where_there_is_one_section_without_any():
    parts = (Section("", (Paragraph("a"),)), Section("Why <", (Paragraph("b"),)))

    assert render(Document("All <", parts)) == (
        "<h3>All &lt;</h3>\n<p>a</p>\n<h4>Why &lt;</h4>\n<p>b</p>"
    )
    assert render(Document("All", parts[1:])).startswith("<h3>All</h3>\n<h4>")


class Seen(HTMLParser):
    """Gathers the tags of a text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.add(tag)


def test_a_whole_report_needs_no_script_and_no_style_sheet(pool, source):
    document = cut_report(pool, source, origins={}, version="1")

    assert Seen(render(document)).tags == {
        *("h3", "h4", "p", "b", "ul", "li", "div", "table", "tr", "th", "td", "img")
    }
