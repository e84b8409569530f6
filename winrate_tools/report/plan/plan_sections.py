"""A plan in words: what goes and why, what comes and how sure, what it does and costs."""

from winrate_tools.decide.plan.forecast import MODEL_ERROR
from winrate_tools.decide.plan.moves import Bound, Floor, Move, Plan
from winrate_tools.report import words
from winrate_tools.report.document import (
    Block,
    Document,
    Entries,
    Entry,
    Paragraph,
    Section,
    Table,
    TableColumn,
)
from winrate_tools.report.plan import plan_words

SPARE = {"faction": 5, "role": 7, "rarity": 6}
"""Labels in the tables of moves, and how soon each gives way on narrow screens."""


def plan_report(plan: Plan, name: str) -> Document:
    """Describe a plan.

    Returns
    -------
    Document
        Summary, what goes, what comes, the swaps, forecasts, limits, how to read it; if
        nothing is worth changing, advice in their place.
    """
    if not plan.moves:
        parts: tuple[Section, ...] = (_advice(plan), *_forecasts(plan))
        return Document(f"Plan for {name}", parts)
    return Document(
        f"Plan for {name}",
        (
            _summary(plan),
            Section("What goes out", (_moves(plan.gone, plan, priced=False),)),
            Section(
                "What comes in", (_moves(plan.come, plan, priced=plan_words.is_priced(plan)),)
            ),
            *_swaps(plan),
            *_forecasts(plan),
            _limits(plan),
            _how_to_read(plan),
        ),
    )


def _summary(plan: Plan) -> Section:
    out = -sum(move.change for move in plan.gone)
    into = sum(move.change for move in plan.come)
    moved = (
        f"{words.plural(out, 'card')} out and {into:,} in, copies counted: the pool has "
        f"{words.plural(plan.pool.size, 'card')} afterwards.{_cost(plan)}"
    )
    return Section("", (Paragraph(moved), Paragraph(floor_sentence(plan.floor, plan))))


def _cost(plan: Plan) -> str:
    """Say what comes in costs, nothing where no price is known."""
    if not plan_words.is_priced(plan):
        return ""
    far = "" if all(move.cost is not None for move in plan.come) else ", as far as prices go"
    return f" What comes in costs {plan_words.cost(plan.cost)}{far}."


def floor_sentence(floor: Floor, plan: Plan) -> str:
    """Say how many weak cards a draft deals, before and after."""
    before, after = (
        f"about {mean:.0f} ({words.range_name(plan.sure)} range: {low:.0f} to {high:.0f})"
        for mean, low, high in (
            (floor.before, floor.before_low, floor.before_high),
            (floor.after, floor.after_low, floor.after_high),
        )
    )
    return (
        f"A card is weak below {words.exact_percent(plan.line)}. If a draft deals "
        f"{floor.dealt:,} cards (the share dealt, under [goals]), {before} of them are weak "
        f"now, and {after} will be."
    )


def _advice(plan: Plan) -> Section:
    blocks: list[Block] = [
        Paragraph(
            "Nothing is worth changing: within these limits, no swap gains more than it costs."
        ),
        Paragraph(
            "What might alter that: more games for the cards that cannot be called yet (rank "
            "says how many), other candidates, or goals that ask for more: a lower change_cost "
            "or price_cost, more slack, a larger budget."
        ),
    ]
    if plan.floor.before:
        blocks.append(Paragraph(floor_sentence(plan.floor, plan)))
    blocks += map(Paragraph, plan_words.staying(plan))
    return Section("", tuple(blocks))


def _moves(moves: tuple[Move, ...], plan: Plan, *, priced: bool) -> Table:
    labels = [name for name in SPARE if any(getattr(one.card, name) for one in plan.moves)]
    columns = [
        TableColumn("Card"),
        TableColumn("Copies", is_number=True),
        *(TableColumn(name.capitalize(), spare=SPARE[name]) for name in labels),
        TableColumn("Estimate", is_number=True, spare=2),
        TableColumn(f"{words.range_name(plan.sure)} range", is_number=True, spare=3),
        TableColumn(f"Below {words.exact_percent(plan.line)}", is_number=True),
        TableColumn("Choice holds", is_number=True),
        *([TableColumn("Cost", is_number=True, spare=4)] if priced else []),
        TableColumn("Why", spare=1),
    ]
    return Table(tuple(columns), tuple(_row(one, plan, labels, priced=priced) for one in moves))


def _row(move: Move, plan: Plan, labels: list[str], *, priced: bool) -> tuple[str, ...]:
    return (
        move.card.card,
        plan_words.copies(move),
        *(getattr(move.card, name) or "" for name in labels),
        plan_words.estimate(move, plan),
        plan_words.range_of(move, plan),
        plan_words.chance_below(move, plan),
        plan_words.stays(move),
        *([plan_words.cost(move.cost)] if priced else []),
        plan_words.marks(move),
    )


def _swaps(plan: Plan) -> list[Section]:
    entries = tuple(
        Entry(f"{pair.out} for {pair.into}", plan_words.swap(pair)) for pair in plan.swaps
    )
    return [Section("Swap by swap", (Entries(entries),))] if entries else []


def _forecasts(plan: Plan) -> list[Section]:
    if not plan.outcomes or not plan.moves:
        return []
    name = words.range_name(plan.sure)
    columns = (
        TableColumn("Archetype"),
        TableColumn("Now", is_number=True),
        TableColumn(f"{name} range", is_number=True, spare=2),
        TableColumn("After", is_number=True),
        TableColumn(f"{name} range after", is_number=True, spare=1),
        TableColumn("Change in points", is_number=True),
        TableColumn("Gains", is_number=True),
    )
    rows = tuple(
        (
            one.archetype,
            words.percent(one.before),
            plan_words.before(one),
            words.percent(one.after),
            plan_words.after(one),
            f"{words.signed(one.change)} ({plan_words.change(one)})",
            words.in_twenty(one.chance_up),
        )
        for one in plan.outcomes
    )
    trust = (
        "Archetypes are measured against each other, so that one loses when the others gain. "
        f"The ranges hold an error of the forecast's own, {words.points(MODEL_ERROR)} either "
        "way: a judgement from our own simulated drafts, since nobody knows how your table "
        "will draft the new pool."
    )
    table = Table(columns, rows)
    careful = [Paragraph(warning) for warning in plan_words.crossings(plan.outcomes)]
    blocks: tuple[Block, ...] = (table, *careful, Paragraph(trust))
    return [Section("What the archetypes are forecast to do", blocks)]


def _limits(plan: Plan) -> Section:
    reached = "; ".join(map(_bound, plan.bounds))
    sentences = (plan_words.kept(plan), f"Limits reached: {reached or 'none'}.")
    blocks = [Paragraph(" ".join(filter(None, sentences)))]
    blocks += map(Paragraph, plan_words.staying(plan))
    for names, said in (
        (plan.unknown, "Without games, and so left as they are"),
        (plan.in_pool, "Candidates that are in the pool already"),
        (plan.elsewhere, "In the table of games and not in the pool"),
    ):
        if names:
            blocks.append(Paragraph(f"{said}: {plan_words.some(names)}."))
    return Section("What holds it back", tuple(blocks))


def _bound(bound: Bound) -> str:
    return f"{bound.name} ({words.plain(bound.amount)} of {words.plain(bound.bound)})"


def _how_to_read(plan: Plan) -> Section:
    entries = (
        Entry(
            "Choice holds",
            f"the plan was made again for {plan.resolves} states of things that the games "
            "leave possible; so often the card moves at least as far. A low number does not "
            "speak against the swap, it says that other cards would do as well.",
        ),
        Entry(
            "Below",
            'chance that the card\'s true win rate lies below the line. "17 in 20" means: of '
            "20 cards with evidence like this one's, about 17 are truly weak.",
        ),
        Entry("Copies", plan_words.whole(plan)),
        Entry(
            "Gains",
            "chance that the archetype wins more after the change, against the others.",
        ),
        Entry(
            "What is weighed",
            "weak cards dealt, underpowered archetypes lifted, overpowered ones not fed, none "
            "pushed over a line, and each swap's trouble and price; [goals] in winrate.toml "
            "holds the weights. A card likelier weak than not comes in only where the limits "
            "leave no other.",
        ),
    )
    return Section("How to read this", (Entries((*entries, *_reasons(plan))),))


def _reasons(plan: Plan) -> tuple[Entry, ...]:
    """Explain the reasons that occur and do not speak for themselves."""
    found = dict.fromkeys(reason for move in plan.moves for reason in move.reasons)
    known = {"archetype": "an archetype"}
    return tuple(
        Entry(
            plan_words.MARKS.get(reason, reason).format(**known).capitalize(),
            f"{plan_words.EXPLAINED[reason]}.",
        )
        for reason in plan_words.EXPLAINED
        if reason in found
    )
