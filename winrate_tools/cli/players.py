"""Whose games the estimates are for, told to those who chose it."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from winrate_tools.cli.suggest import did_you_mean
from winrate_tools.errors import SettingError
from winrate_tools.tables import CardTable

MUST = "target must be "
GOT = ", got "


@contextmanager
def players_named(cards: CardTable, origins: Mapping[str, str]) -> Iterator[None]:
    """Name the option, variable or key that asks for players whom a table does not know.

    Raises
    ------
    SettingError
        The one that was raised inside, with its place and its mend.
    """
    try:
        yield
    except SettingError as error:
        said = str(error)
        if not said.startswith(MUST) and "in the target" not in said:
            raise
        asker = origins["target"].rpartition(": ")[2]
        asker = asker if asker.startswith(("--", "WINRATE_")) else f"{asker}: target"
        if not said.startswith(MUST):
            msg = f"{asker}: {said.replace(' in the target', '')}"
            raise SettingError(msg) from error
        msg = f"{asker} must be {said.removeprefix(MUST)}{_mend(cards, said)}"
        raise SettingError(msg) from error


def _mend(cards: CardTable, said: str) -> str:
    if cards.skill_band is None:
        return "; skill bands need a column skill_band: --map skill_band=HEADER"
    name = said.rpartition(GOT)[2].strip("'\"")
    return did_you_mean(name, {band for band in cards.skill_band if band is not None})
