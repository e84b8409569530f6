"""Load, judge, say: the few calls a notebook needs, and all that the command line does."""

from dataclasses import dataclass

from winrate_tools.decide.verdicts import PoolVerdict
from winrate_tools.settings import Settings
from winrate_tools.tables import Source


@dataclass(frozen=True, slots=True)
class Ranking:
    """A judged pool, with the settings and the source that it came from."""

    verdict: PoolVerdict
    settings: Settings
    source: Source
