"""A ranking in a notebook."""

import pytest

from winrate_tools.report.cards import notebook
from winrate_tools.report.document import Document, Entries, Section


def test_the_table_has_every_card_with_names_escaped(pool, source):
    said = notebook.notebook_table(pool, source)

    assert said.count("<tr>") == 1 + len(pool.cards)
    assert "<td>a|b &lt;i&gt;</td>" in said
    assert "<td>41.0 to 46.2%</td>" in said
    assert said.startswith("<p>8 cards: 2 to cut")


def test_a_block_that_no_ranking_has_is_refused(monkeypatch, pool, source):
    document = Document("T", (Section("", (Entries(()),)),))
    monkeypatch.setattr(notebook, "ranking_document", lambda *_: document)

    with pytest.raises(TypeError, match="got Entries"):
        notebook.notebook_table(pool, source)
