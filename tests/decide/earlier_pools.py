"""Earlier rankings, made from judged pools as their JSON would be."""

from dataclasses import asdict

from winrate_tools.decide.cards.since import Earlier, EarlierCard
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.settings import Settings

FACTS = ("card", "games", "wins", "estimate", "chance_below", "verdict")


def earlier_of(pool: PoolVerdict, settings: Settings | None = None, **facts: object) -> Earlier:
    """Keep a judged pool as an earlier ranking."""
    cards = tuple(EarlierCard(**{n: getattr(c, n) for n in FACTS}) for c in pool.cards)
    standard: dict[str, object] = {
        "name": "cards.csv",
        "sha256": None,
        "version": "0.1.0",
        "line": pool.line,
        "baseline": pool.baseline,
        "margin": pool.margin,
        "sure": pool.sure,
        "measure": pool.measure,
        "target": pool.target,
        "settings": asdict(settings or Settings()),
        "counts": {
            "strata": pool.strata,
            "has_unheld": pool.has_unheld,
            "usage_columns": pool.usage_columns,
        },
        "size": len(pool.cards),
        "cards": cards,
    }
    return Earlier(**{**standard, **facts})
