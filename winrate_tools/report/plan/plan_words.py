"""What is said of a plan's moves, swaps and forecasts, short enough for a cell."""

from collections.abc import Sequence

from winrate_tools.decide.cards.rules import Rule
from winrate_tools.decide.plan.forecast import Outcome
from winrate_tools.decide.plan.moves import Move, Plan, Staying, Swap, Why, WhyStaying
from winrate_tools.report import words
from winrate_tools.report.likelihood import likelihood

EVEN = 0.5
FOR_BALANCE = "meant for balance, not for strength"
WHY: dict[Why, str] = {
    "weak": "weak",
    "trap": "a trap: weak, yet taken early or played a lot",
    "newcomer trap": "weak in weaker players' hands",
    "unplayed": "hardly ever played",
    "narrow": "good in one archetype only",
    "likely weak": "weak, {likely}",
    "strong": "so strong that fewer copies do",
    "marginal": "doubtful, so that fewer copies do",
    "essential": "one of few of its role in its faction",
    "restrains": "a good card of {archetype}, which is too strong",
    "drags": "one of the weaker cards of {archetype}, which is too weak",
    "room": "makes room",
    "sound": "sound",
    "lifts": "helps {archetype}",
    "fits": "likelier sound than weak, and fits the place",
    "forced": "likelier weak than not: the limits leave no other card",
}
"""The glossary of a plan's reasons; one entry a word of `Why`."""


def why(move: Move, sure: float) -> str:
    """Say why a card moves, in the words that reports use for such a chance.

    Examples
    --------
    >>> from winrate_tools.pools import PoolCard
    >>> why(Move(PoolCard("Moth", 1), 0, 1, 0.55, 0.53, 0.57, 0.05, 0.6,
    ...          ("sound", "lifts"), "Kites", None), 0.9)
    'sound; helps Kites'
    """
    chance = likelihood(words.twentieths(move.chance_below, sure, "more games"))
    likely = "perhaps" if chance == "cannot tell" else chance
    return "; ".join(
        WHY[reason].format(archetype=move.archetype, likely=likely) for reason in move.reasons
    )


MARKS: dict[Why, str] = {
    "restrains": "restrains {archetype}",
    "drags": "holds back {archetype}",
    "lifts": "helps {archetype}",
    "strong": "strong, so fewer copies",
    "marginal": "doubtful, so fewer copies",
    "room": "makes room",
    "essential": "one of few",
    "fits": "fits in",
    "forced": "fills up, likelier weak",
}
"""Reasons whose word in a table is not their own."""


EXPLAINED: dict[Why, str] = {
    "trap": "weak, yet drafters take it early or play it a lot, so it costs them games",
    "newcomer trap": "weak in the hands of weaker players, and not of stronger ones",
    "unplayed": "hardly ever played, whatever its win rate",
    "narrow": "good in one archetype, weak in its others",
    "likely weak": "weak with 10 in 20 or more, though not as surely as a cut takes",
    "strong": "the fewer copies, the fewer games it decides",
    "marginal": "weak with 10 in 20 or more, or hardly played",
    "restrains": "a good card of an overpowered archetype, taken from it",
    "drags": "weaker than the other cards of an underpowered archetype that plays it",
    "room": "no fault of its own: what comes in its place serves the aims better",
    "sound": "as surely on or above the line as a keep takes",
    "lifts": "a card that an underpowered archetype plays and that adds to it",
    "essential": "sound, and one of at most two cards of its role in its faction",
    "fits": "likelier sound than weak, and good for the place of what leaves",
    "forced": "weak with more than 10 in 20; size, counts or quotas leave no other card",
}
"""What a reader of a plan may want to know of its reasons."""


def marks(move: Move) -> str:
    """Name the reasons of a move, short enough for a cell.

    Examples
    --------
    >>> from winrate_tools.pools import PoolCard
    >>> marks(Move(PoolCard("Moth", 1), 0, 1, 0.55, 0.53, 0.57, 0.05, 0.6,
    ...            ("sound", "lifts"), "Kites", None))
    'sound, helps Kites'
    """
    texts = (
        MARKS.get(reason, reason).format(archetype=move.archetype) for reason in move.reasons
    )
    return ", ".join(texts)


def copies(move: Move) -> str:
    """Print copies before and after."""
    return f"{move.before} to {move.after}"


def estimate(move: Move, plan: Plan) -> str:
    """Print a card's estimate, on its side of the line."""
    return words.beside_line(move.estimate, plan.line)


def range_of(move: Move, plan: Plan) -> str:
    """Print a card's range."""
    low, high = (words.beside_line(end, plan.line) for end in (move.low, move.high))
    return words.span(low, high)


def chance_below(move: Move, plan: Plan) -> str:
    """Print the chance that a card is weak, on the side of each bar that reports print it."""
    verdict = Rule(plan.line, plan.sure).verdict(move.chance_below)
    return words.of_twenty(words.twentieths(move.chance_below, plan.sure, verdict))


def stays(move: Move) -> str:
    """Print in how many of 20 re-solves a card moves at least as far."""
    return words.in_twenty(move.stays)


def cost(amount: float | None) -> str:
    """Print money; a blank is unknown.

    Examples
    --------
    >>> cost(1.5), cost(0.0), cost(None)
    ('1.50', '0.00', '?')
    """
    return "?" if amount is None else f"{amount:,.2f}"


def is_priced(plan: Plan) -> bool:
    """Tell whether the price of anything that comes in is known."""
    return any(move.cost is not None for move in plan.come)


def swap(pair: Swap) -> str:
    """Say what one swap is, and how sure it is that it gains strength."""
    labels = [label for label in pair.shared if label != "slot"]
    unlike = f"of another {joined(list(pair.unlike))}; " if pair.unlike else ""
    alike = f"same {joined(labels)}; " if labels else unlike
    chance = words.in_twenty(pair.chance_stronger)
    number = words.plural(pair.copies, "copy", "copies")
    meant = "" if pair.chance_stronger >= EVEN else f"; {FOR_BALANCE}"
    return f"{number}; {alike}{chance} that {pair.into} is the stronger of the two{meant}."


def joined(names: list[str], word: str = "and") -> str:
    """Join names as in a sentence.

    Examples
    --------
    >>> joined(["faction", "role", "rarity"])
    'faction, role and rarity'
    """
    *others, last = names or [""]
    return f"{', '.join(others)} {word} {last}" if others else last


def crossings(outcomes: tuple[Outcome, ...]) -> list[str]:
    """Warn of archetypes that keep within the lines now and would not any more."""
    found = []
    for side, name in (("above", "upper"), ("below", "lower")):
        over = [one for one in outcomes if one.crosses == side]
        lines = [words.exact_percent(one.line) for one in over if one.line is not None]
        if over:
            names = ", ".join(
                f"{one.archetype} ({words.in_twenty(one.chance_beyond)})" for one in over
            )
            found.append(
                f"Careful: would then lie {side} the {name} line of {lines[0]}: {names}."
            )
    return found


def kept(plan: Plan) -> str:
    """Say which counts stay, and which labels the pool does not know."""
    stay = joined(list(plan.kept))
    lacks = joined(list(plan.unlabelled), "or")
    said = [f"Counts by {stay} stay as they are."] if plan.kept else []
    if plan.unlabelled:
        said.append(f"No card of the pool has a {lacks}, so no such count is kept.")
    return " ".join(said)


PROTECTED = "they are protected"
STAYING: dict[WhyStaying | None, str] = {
    "no better": "no candidate{place} has a higher estimate",
    "better in": "every candidate{place} with a higher estimate is in already",
    "restrains": "they hold back {archetype}, which is too strong",
    None: "no swap for them keeps within the limits and gains more than it costs",
}
"""Why cards called cut stay that are not protected."""


def staying(plan: Plan) -> list[str]:
    """Say which cards called cut stay, and why."""
    found: dict[str, list[str]] = {}
    for one in sorted(plan.staying, key=_place):
        found.setdefault(_why_staying(one, plan), []).append(one.card)
    return [
        f"Called cut and staying, since {reason}: {some(names)}."
        for reason, names in found.items()
    ]


def _place(one: Staying) -> int:
    """Order by reason: protected cards first, those without a single reason last."""
    return -1 if one.is_protected else list(STAYING).index(one.why)


def _why_staying(one: Staying, plan: Plan) -> str:
    if one.is_protected:
        return PROTECTED
    slots = {card.slot for card in plan.pool.cards}
    labels = [*(["slot"] if len(slots) > 1 else []), *plan.kept]
    place = f" of the same {joined(labels)}" if labels else ""
    return STAYING[one.why].format(place=place, archetype=one.archetype)


def some(names: Sequence[str], most: int = 8) -> str:
    """List names, as many as can be read."""
    more = f" and {len(names) - most:,} more" if len(names) > most else ""
    return f"{', '.join(names[:most])}{more}"


def whole(plan: Plan) -> str:
    """Say in what numbers copies move."""
    if not plan.is_whole:
        return "come and go one by one (whole = no, under [goals])."
    return (
        "a card comes or goes with all its copies (whole = yes, under [goals]) or moves to the "
        "number that suits it: one less than usual if strong or doubtful, one more if it is "
        "one of few."
    )


def before(one: Outcome) -> str:
    """Print an archetype's range as it is."""
    return words.span(words.percent(one.before_low), words.percent(one.before_high))


def after(one: Outcome) -> str:
    """Print an archetype's range after the change."""
    return words.span(words.percent(one.after_low), words.percent(one.after_high))


def change(one: Outcome) -> str:
    """Print the range of an archetype's change."""
    return f"{words.signed(one.change_low)} to {words.signed(one.change_high)}"
