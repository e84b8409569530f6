"""A plan as records for other programs: CSV and JSON, with every digit."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields

from winrate_tools.decide.plan.moves import Move, Plan
from winrate_tools.goals import Goals
from winrate_tools.report.cards.records import object_json, rows_csv
from winrate_tools.report.plan import plan_words
from winrate_tools.tables import Source

COLUMNS = (
    *("card", "faction", "rarity", "role", "copies_before", "copies_after"),
    *("estimate", "low", "high", "chance_below", "stays", "reasons", "archetype", "cost"),
)


def plan_csv(plan: Plan) -> str:
    """Write the moves of a plan as CSV, what goes out first.

    Returns
    -------
    str
        CSV with a header line; unknown is blank; a plan without moves has no rows.
    """
    return rows_csv([row(move) for move in plan.moves], COLUMNS)


def row(move: Move) -> dict[str, object]:
    """Lay out one move by column."""
    facts = asdict(move)
    labels = {name: facts["card"][name] for name in ("card", "faction", "rarity", "role")}
    counts = {"copies_before": move.before, "copies_after": move.after}
    named = {**facts, **labels, **counts}
    return {name: named[name] for name in COLUMNS}


def plan_json(
    plan: Plan,
    sources: Sequence[Source],
    goals: Goals,
    *,
    origins: Mapping[str, str],
    seed: int,
    version: str,
) -> str:
    """Write a plan as JSON.

    Returns
    -------
    str
        One object: ``schema_version``, ``version``, ``seed``, ``sources``, ``goals`` with
        origins, ``moves``, ``swaps``, ``outcomes``, ``floor``, ``cost``, ``bounds``, ``kept``,
        ``unlabelled``, ``is_whole``, ``resolves``, ``line``, ``sure``, ``unknown``,
        ``in_pool``, ``elsewhere``, ``staying``, ``pool``.
    """
    return object_json(
        version=version,
        seed=seed,
        sources=[asdict(source) for source in sources],
        goals={
            field.name: {
                "value": _plain(getattr(goals, field.name)),
                "origin": origins.get(field.name, "default"),
            }
            for field in fields(goals)
        },
        moves=[{**row(move), "why": plan_words.why(move, plan.sure)} for move in plan.moves],
        swaps=[asdict(swap) for swap in plan.swaps],
        outcomes=[asdict(outcome) for outcome in plan.outcomes],
        floor=asdict(plan.floor),
        cost=plan.cost,
        bounds=[asdict(bound) for bound in plan.bounds],
        kept=list(plan.kept),
        unlabelled=list(plan.unlabelled),
        is_whole=plan.is_whole,
        resolves=plan.resolves,
        line=plan.line,
        sure=plan.sure,
        unknown=list(plan.unknown),
        in_pool=list(plan.in_pool),
        elsewhere=list(plan.elsewhere),
        staying=[asdict(card) for card in plan.staying],
        pool=[asdict(card) for card in plan.pool.cards],
    )


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [each if isinstance(each, str | tuple) else asdict(each) for each in value]
    return value
