"""What a job of the library hands back: a value that shows itself, and becomes a frame."""

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from winrate_tools.columns import ARCHETYPE_COLUMNS, POOL_ROLES, RANKING_COLUMNS
from winrate_tools.errors import MissingExtraError, SettingError

if TYPE_CHECKING:
    import pandas as pd
    import pyarrow as pa

    from winrate_tools.report.document import Document

COLUMNS = {**POOL_ROLES, **ARCHETYPE_COLUMNS, **RANKING_COLUMNS}
WHOLE, TEXT = {"count", "rank"}, {"name", "label", "word", "words"}
"""Kinds of columns; those of any other kind hold numbers."""
STRANGE = {"before_verdict": "word", "nights_needed": "count"}
"""Kinds of columns that are not in the glossary."""
BACKENDS = ("pandas", "polars", "arrow", "pyarrow")


class Answer(ABC):
    """A frozen result with rows for programs and a document for people.

    A notebook shows the document, `print` writes it as text, and whatever takes an Arrow
    stream (``polars.DataFrame``, ``pyarrow.table``, a query of DuckDB) takes the rows.

    Examples
    --------
    >>> from winrate_tools.jobs.power import power
    >>> needed = power(baseline=0.5, gaps=[0.02, 0.04], games=[1000])
    >>> needed.to_frame()["games_needed"].tolist()
    [3716, 948]
    >>> print(str(needed).splitlines()[0])
    What games can show
    """

    __slots__ = ()

    @property
    @abstractmethod
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, in order."""

    @property
    @abstractmethod
    def rows(self) -> list[dict[str, Any]]:
        """The records that the command writes as CSV, with every digit; None is unknown."""

    @property
    @abstractmethod
    def document(self) -> "Document":
        """What a notebook shows."""

    @property
    def report(self) -> "Document":
        """What `write_report` writes."""
        return self.document

    def to_frame(self, backend: str = "pandas") -> Any:
        """Return the rows as a frame.

        Parameters
        ----------
        backend : str, optional
            ``"pandas"``, ``"polars"``, which has to be installed, or ``"arrow"``, for which
            ``"pyarrow"`` may stand too.

        Returns
        -------
        frame
            Unknown values are missing, whole numbers stay whole numbers, and reasons are
            joined by commas.

        Raises
        ------
        SettingError
            If the backend is none of these.
        MissingExtraError
            If polars is not installed.
        """
        if backend not in BACKENDS:
            msg = f"backend must be one of {', '.join(BACKENDS)}, got {backend!r}"
            raise SettingError(msg)
        table = arrow_table(self.rows, self.columns)
        if backend == "pandas":
            return _pandas(table)
        return _polars(table) if backend == "polars" else table

    def __arrow_c_stream__(self, requested_schema: object = None) -> object:
        """Hand the rows to any library that takes an Arrow stream."""
        return self.to_frame("arrow").__arrow_c_stream__(requested_schema)

    def _repr_html_(self) -> str:
        """Show a notebook the same words and digits as every report has."""
        from winrate_tools.report.forms.notebook import render

        return render(self.document)

    def __str__(self) -> str:
        """Write the document as text."""
        from winrate_tools.report.forms.text import render

        return render(self.document)


def arrow_table(rows: Sequence[Mapping[str, Any]], columns: Sequence[str]) -> "pa.Table":
    """Lay records out as an Arrow table.

    Parameters
    ----------
    rows : sequence of mapping
        Column to value; tuples of words are joined by commas.
    columns : sequence of str
        Which columns, in order; they are there without any row, too.

    Returns
    -------
    pyarrow.Table

    Examples
    --------
    >>> table = arrow_table([{"card": "Ash Vine", "games_needed": None}], ["games_needed"])
    >>> table.schema.field("games_needed").type
    DataType(int64)
    """
    import pyarrow as pa

    return pa.table({name: _column(name, [row[name] for row in rows]) for name in columns})


def _column(name: str, values: Sequence[Any]) -> "pa.Array":
    import pyarrow as pa

    array = pa.array([", ".join(v) if isinstance(v, tuple) else v for v in values])
    return array.cast(_type(name)) if pa.types.is_null(array.type) else array


def _type(name: str) -> str:
    """Name the type of a column of which no value is known."""
    kind = COLUMNS[name].kind if name in COLUMNS else STRANGE.get(name, "number")
    return "int64" if kind in WHOLE else "string" if kind in TEXT else "double"


def _pandas(table: "pa.Table") -> "pd.DataFrame":
    """Turn Arrow into pandas, whole numbers into its nullable ones."""
    import pandas as pd
    import pyarrow as pa

    frame: pd.DataFrame = table.to_pandas(types_mapper={pa.int64(): pd.Int64Dtype()}.get)
    return frame


def _polars(table: "pa.Table") -> Any:
    try:
        import polars as pl
    except ImportError as error:
        msg = "a frame of polars needs polars: pip install polars"
        raise MissingExtraError(msg) from error
    return pl.from_arrow(table)
