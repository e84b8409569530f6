"""What a job hands back: rows, frames, and what a notebook shows."""

import sys
from dataclasses import dataclass

import pandas as pd
import polars as pl
import pyarrow as pa
import pytest

from winrate_tools.answers import BACKENDS, Answer, arrow_table
from winrate_tools.errors import MissingExtraError, SettingError
from winrate_tools.report.document import Document, Paragraph, Section


@dataclass(frozen=True, slots=True)
class Said(Answer):
    """An answer made by hand."""

    rows: tuple[dict[str, object], ...] = ()  # type: ignore[assignment]
    columns: tuple[str, ...] = ("card", "games", "estimate", "reasons")  # type: ignore[assignment]

    @property
    def document(self) -> Document:
        return Document("Cards", (Section("", (Paragraph("2 cards of <b>"),)),))


ASH = {"card": "Ash", "games": 9, "estimate": 0.5, "reasons": ("weak", "trap")}
TIN = {"card": "Tin", "games": None, "estimate": None, "reasons": ()}
BOTH = Said((ASH, TIN))


def test_pandas_gets_whole_numbers_that_can_be_missing():
    frame = BOTH.to_frame()

    assert isinstance(frame, pd.DataFrame)
    assert list(frame.columns) == ["card", "games", "estimate", "reasons"]
    assert {name: str(kind) for name, kind in frame.dtypes.items() if name != "card"} == {
        "games": "Int64",
        "estimate": "float64",
        "reasons": str(frame["card"].dtype),
    }
    assert frame["games"].isna().tolist() == [False, True]
    assert frame["reasons"].tolist() == ["weak, trap", ""]


def test_polars_gets_the_same_rows():
    frame = BOTH.to_frame("polars")

    assert frame.schema == {
        "card": pl.String,
        "games": pl.Int64,
        "estimate": pl.Float64,
        "reasons": pl.String,
    }
    assert frame.rows() == [("Ash", 9, 0.5, "weak, trap"), ("Tin", None, None, "")]


def test_arrow_gets_the_same_rows_by_name_and_by_its_stream():
    table = BOTH.to_frame("arrow")

    assert table.equals(BOTH.to_frame("pyarrow"))
    assert table.to_pylist()[1] == {**TIN, "reasons": ""}
    assert pa.table(BOTH) == table
    assert pl.DataFrame(BOTH).equals(BOTH.to_frame("polars"))


@pytest.mark.parametrize("backend", BACKENDS)
def test_an_answer_without_rows_keeps_its_columns(backend: str):
    frame = Said().to_frame(backend)

    assert list(getattr(frame, "column_names", frame.columns)) == list(Said().columns)
    assert len(frame) == 0


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("games_needed", pa.int64()),
        ("rank_low", pa.int64()),
        ("win_rate", pa.float64()),
        ("chance_below", pa.float64()),
        ("cards_part", pa.float64()),
        ("price", pa.float64()),
        ("slot", pa.string()),
        ("faction", pa.string()),
        ("verdict", pa.string()),
        ("before_verdict", pa.string()),
        ("nights_needed", pa.int64()),
        ("smallest_gap", pa.float64()),
    ],
)
def test_a_column_of_which_nothing_is_known_has_the_type_of_its_kind(name: str, kind):
    assert arrow_table([{name: None}], [name]).schema.field(name).type == kind


def test_a_library_that_is_none_is_refused():
    with pytest.raises(
        SettingError,
        match=r"^backend must be one of pandas, polars, arrow, pyarrow, got 'numpy'$",
    ):
        BOTH.to_frame("numpy")


def test_without_polars_its_name_is_said(monkeypatch):
    monkeypatch.setitem(sys.modules, "polars", None)

    with pytest.raises(MissingExtraError, match="pip install polars"):
        BOTH.to_frame("polars")


def test_a_notebook_shows_the_document_and_print_writes_it():
    assert BOTH._repr_html_() == "<p>2 cards of &lt;b&gt;</p>"
    assert str(BOTH) == "Cards\n=====\n\n2 cards of <b>\n"
    assert BOTH.report is not None
    assert BOTH.report == BOTH.document
