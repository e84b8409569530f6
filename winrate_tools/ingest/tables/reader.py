"""One way from a source to a checked table, whichever kind of rows it has."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from winrate_tools.ingest.checks.check import Columns, Step, check_rows
from winrate_tools.ingest.checks.inspection import TableInspection, inspected
from winrate_tools.ingest.roles.kinds import Kind
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.tables.reading import with_known_options
from winrate_tools.ingest.tables.sifting import Built
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.ingest.text.source import TableSource, load
from winrate_tools.tables import Source

Table = TypeVar("Table")


@dataclass(frozen=True, slots=True)
class Reader(Generic[Table]):
    """The reader of one kind of table.

    Attributes
    ----------
    kind : Kind
        What its tables hold.
    steps : sequence of callable
        Read the columns of numbers, each knowing what those before it read.
    total : str or None
        Role whose numbers a row of totals adds up; None if there are no such rows.
    build : callable
        Makes the table of checked columns and a source, with `skip_bad` and `sum_duplicates`.
    """

    kind: Kind
    steps: Sequence[Step]
    total: str | None
    build: Callable[[Columns, Source, bool, bool], Built[Table]]

    @with_known_options
    def inspect(
        self,
        source: TableSource,
        *,
        columns: Mapping[str, ColumnChoice] | None = None,
        decimal: str | None = None,
        skip_bad: bool = False,
        sum_duplicates: bool = False,
        use_memory: bool = True,
        name: str | None = None,
    ) -> TableInspection[Table]:
        """Read a table and tell everything about it, be it usable or not.

        Parameters
        ----------
        source, columns, decimal, skip_bad, sum_duplicates, use_memory, name
            As in `winrate_tools.ingest.tables.cards.read_cards`.

        Returns
        -------
        TableInspection
            What each column was taken for and why, all problems, and the table if it is sound.

        Raises
        ------
        TableError
            If there is no such file or it is no table of rows and cells.
        SettingError
            If a role or the decimal mark is none.
        TypeError
            If there is no such option.
        """

        def build(sheet: Sheet, where: dict[str, int], kept: Source) -> Built[Table]:
            checked = check_rows(sheet, where, self.steps, total=self.total)
            return self.build(checked, kept, skip_bad, sum_duplicates)

        loaded = load(source, name=name)
        return inspected(
            loaded, self.kind, build, columns=columns, decimal=decimal, use_memory=use_memory
        )
