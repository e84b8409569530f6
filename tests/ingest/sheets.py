"""A sheet or a view from a few lines, to try one step of reading by itself."""

from winrate_tools.ingest.cells.names import read_names
from winrate_tools.ingest.roles.kinds import CARDS, Kind
from winrate_tools.ingest.roles.view import View
from winrate_tools.ingest.roles.vocabulary import plain_role
from winrate_tools.ingest.text.grid import read_grid
from winrate_tools.ingest.text.sheet import Sheet, read_sheet


def sheet(*lines: str, decimal: str | None = None, kind: Kind = CARDS) -> Sheet:
    return read_sheet(read_grid("\n".join(lines), "cards.csv"), decimal, kind)


def view(*lines: str, decimal: str | None = None, kind: Kind = CARDS) -> View:
    """See a sheet through the roles that its headers name."""
    made = sheet(*lines, decimal=decimal, kind=kind)
    roles = {kind.role(plain_role(header)): n for n, header in enumerate(made.grid.headers, 1)}
    where = {role: number for role, number in roles.items() if role}
    return View(made, where, read_names(made.grid, where[kind.name], kind.name).labels)
