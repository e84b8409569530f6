"""A plan made by hand."""

from winrate_tools.decide.plan.forecast import Outcome
from winrate_tools.decide.plan.moves import Bound, Floor, Move, Plan, Swap
from winrate_tools.pools import PoolCard, PoolTable

OUT = Move(
    PoolCard("Ash Vine", 3, "Cog", "common", "tool", 0.5, archetypes=("Kites",)),
    *(3, 0, 0.4712, 0.46, 0.4899),
    *(0.93, 0.8, ("trap", "unplayed"), None, 0.0),
)
FEWER = Move(
    PoolCard("Elm Bell", 2), 2, 1, 0.53, 0.51, 0.55, 0.01, 0.2, ("restrains",), "Moths", 0.0
)
INTO = Move(
    PoolCard("Fog Horn", 2, "Cog", "common", "guest", 1.25, archetypes=("Kites", "Moths")),
    *(0, 3, 0.52, 0.5, 0.54),
    *(0.02, 0.999, ("sound", "lifts"), "Kites", 3.75),
)
MORE = Move(PoolCard("=X|y", 1), 1, 2, 0.49, 0.45, 0.52, 0.4, 0.5, ("fits",), None, None)
KEPT = PoolCard("Oil Lamp", 1, price=None, is_protected=True, slot="lantern")
OUTCOME = Outcome("Kites", 0.47, 0.46, 0.48, 0.482, 0.465, 0.499, 0.012, -0.0004, 0.0244, 0.8)
FLOOR = Floor(30, 9.4, 7.2, 12.6, 6.1, 4.0, 8.5)


def plan(*moves: Move, **facts: object) -> Plan:
    standard: dict[str, object] = {
        "moves": moves,
        "swaps": (Swap("Ash Vine", "Fog Horn", 3, 0.94, ("slot", "faction", "rarity")),),
        "outcomes": (OUTCOME,),
        "floor": FLOOR,
        "cost": 3.75,
        "bounds": (Bound("budget", 3.75, 4.0), Bound("copies that go out", 4, 4)),
        "kept": ("faction", "rarity"),
        "resolves": 60,
        "line": 0.49,
        "sure": 0.9,
        "unknown": ("Silk Kite",),
        "in_pool": (),
        "elsewhere": tuple(f"old {i}" for i in range(9)),
        "pool": PoolTable([PoolCard("Elm Bell", 1), KEPT, INTO.card, PoolCard("=X|y", 2)]),
    }
    return Plan(**{**standard, **facts})  # type: ignore[arg-type]


FULL = plan(OUT, FEWER, INTO, MORE)
EMPTY = plan(swaps=(), cost=0.0, bounds=())
