"""Since last time: which verdicts changed, and what changed them, in words."""

from collections.abc import Sequence
from dataclasses import asdict

from winrate_tools.decide.cards.since import Cause, EarlierCard, Move, Since
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.cards import card_words
from winrate_tools.report.cards.card_tables import MARKS
from winrate_tools.report.document import (
    Block,
    Document,
    Paragraph,
    Section,
    Table,
    TableColumn,
)
from winrate_tools.report.forms.glyphs import visible

LONGEST = 20
"""Most changed verdicts shown; those to and from cut come first and are never left out."""
NAMED = 5
TITLE = "Since last time"
CAUSES: dict[Cause, str] = {
    "games": "its games",
    "assumptions": "assumptions",
    "pool": "the pool around it",
    "line": "the line",
    "sure": "how sure",
}
ASSUMED = {
    "baseline": "the baseline asked for",
    "margin": "the margin",
    "sure": "how sure is sure enough",
    "allowance": "how much of a record is put down to the card (allowance)",
    "design_effect": "how many games count as one independent game (design effect)",
    "bands": "the order of skill bands",
    "strata": "by what games are told apart",
    "has_unheld": "whether unheld games are known",
    "usage_columns": "what tells of use",
}


def since_section(since: Since, pool: PoolVerdict) -> Section:
    """Describe what changed since an earlier ranking.

    Returns
    -------
    Section
        What was compared, the changed verdicts with their numbers then and now, cards that
        came and went.
    """
    blocks: list[Block] = [
        Paragraph(f"{_compared(since)} {_games(since)}"),
        Paragraph(f"{_line(since, pool)} {_changed(since)}"),
        Paragraph(verdicts_sentence(since)),
    ]
    if since.moves:
        blocks += [_table(since, pool), Paragraph(_how_parted(since, pool))]
    if since.new:
        blocks.append(Paragraph(f"New here: {_named(since.new)}."))
    if since.gone:
        blocks.append(Paragraph(f"No longer here: {_gone(since.gone)}."))
    return Section(TITLE, tuple(blocks))


def with_since(document: Document, since: Since | None, pool: PoolVerdict) -> Document:
    """Put what changed right after a report's summary, if anything was compared."""
    if since is None:
        return document
    summary, *rest = document.sections
    return document._replace(sections=(summary, since_section(since, pool), *rest))


def since_sentence(since: Since, pool: PoolVerdict) -> str:
    """Say in a line what changed since an earlier ranking."""
    cuts = [move for move in since.moves if move.now.verdict == "cut"]
    spared = [move for move in since.moves if move.before.verdict == "cut"]
    said = [
        f"{what}: {_listed([_moved(move, since, pool) for move in moves])}"
        for what, moves in (("newly cut", cuts), ("no longer cut", spared))
        if moves
    ]
    gone = f"; {words.plural(len(since.gone), 'card')} gone" if since.gone else ""
    new = f"; {words.plural(len(since.new), 'card')} new" if since.new else ""
    changes = "; ".join(said) or "no card came to be called cut or ceased to be"
    return f"{TITLE} ({_signed_games(since.games_added)}): {changes}{new}{gone}."


def since_record(since: Since) -> dict[str, object]:
    """Return the comparison for other programs, with every digit."""
    earlier = since.earlier
    return {
        "source": {"name": earlier.name, "sha256": earlier.sha256},
        "version": earlier.version,
        "line": earlier.line,
        "sure": earlier.sure,
        "shared": since.shared,
        "games_added": since.games_added,
        "fewer": since.fewer,
        "changed": list(since.changed),
        "moves": [
            {
                "card": move.now.card,
                "before": asdict(move.before),
                "verdict": move.now.verdict,
                "games_added": move.games_added,
                "estimate": move.now.estimate,
                "chance_at_old_line": move.chance_at_old_line,
                "chance_below": move.now.chance_below,
                "causes": list(move.causes),
            }
            for move in since.moves
        ],
        "new": [card.card for card in since.new],
        "gone": [card.card for card in since.gone],
    }


def verdicts_sentence(since: Since) -> str:
    """Count the verdicts that changed."""
    cuts = sum(move.now.verdict == "cut" for move in since.moves)
    spared = sum(move.before.verdict == "cut" for move in since.moves)
    others = len(since.moves) - cuts - spared
    if not since.moves:
        return f"Every verdict is what it was: {words.plural(since.shared, 'card')}."
    return (
        f"Newly cut: {cuts:,}; no longer cut: {spared:,}; other verdicts changed: {others:,}; "
        f"as before: {since.shared - len(since.moves):,}."
    )


def _compared(since: Since) -> str:
    earlier = since.earlier
    part = ""
    if len(earlier.cards) < earlier.size:
        told = f"{len(earlier.cards):,} of its {earlier.size:,}"
        part = f" It tells of {told} cards only, so new cards cannot be told."
    cards = words.plural(since.shared, "card")
    return (
        f"Compared with the ranking of {earlier.name} by winrate_tools {earlier.version}: "
        f"{cards} in both.{part}"
    )


def _games(since: Since) -> str:
    said = f"Those cards have {_signed_games(since.games_added)}."
    if since.fewer:
        fewer = "card has" if since.fewer == 1 else "cards have"
        said += (
            f" {since.fewer:,} {fewer} fewer games than before: this table does not simply add "
            "to the earlier one."
        )
    return said


def _signed_games(number: int) -> str:
    if not number:
        return "as many card-games as before"
    noun = "card-game" if abs(number) == 1 else "card-games"
    return f"{abs(number):,} {noun} {'more' if number > 0 else 'fewer'} than before"


def _line(since: Since, pool: PoolVerdict) -> str:
    then, now = words.exact_percent(since.earlier.line), words.exact_percent(pool.line)
    if abs(since.earlier.line - pool.line) < words.SAME:
        return f"The line is where it was, at {now}."
    earlier = since.earlier
    baseline = _from_to(*map(words.exact_percent, (earlier.baseline, pool.baseline)))
    margin = _from_to(*map(words.points, (earlier.margin, pool.margin)))
    return f"The line moved from {then} to {now}: baseline {baseline}, margin {margin}."


def _from_to(then: str, now: str) -> str:
    return f"{now} as before" if then == now else f"{then} to {now}"


def _changed(since: Since) -> str:
    if not since.changed:
        return "Settings and kinds of counts are what they were."
    return f"Other than before: {', '.join(ASSUMED[name] for name in since.changed)}."


def _table(since: Since, pool: PoolVerdict) -> Table:
    shown = _shown(since)
    then, now = words.exact_percent(since.earlier.line), words.exact_percent(pool.line)
    columns = (
        TableColumn("Card"),
        TableColumn("Was", spare=2),
        TableColumn("Verdict", is_toned=True),
        TableColumn("Games added", is_number=True, spare=4),
        TableColumn("Estimate then", is_number=True, spare=5),
        TableColumn("Estimate", is_number=True, spare=1),
        TableColumn(f"{words.range_name(pool.sure)} range", is_number=True),
        TableColumn(f"Below {then} then", is_number=True, spare=1),
        TableColumn(f"Below {now} now", is_number=True),
        TableColumn("Changed by"),
    )
    rows = tuple(_row(move, since, pool) for move in shown)
    return Table(columns, rows, tuple(move.now.verdict for move in shown))


def _shown(since: Since) -> list[Move]:
    telling = [move for move in since.moves if "cut" in {move.before.verdict, move.now.verdict}]
    others = [move for move in since.moves if move not in telling]
    return [*telling, *others[: max(LONGEST - len(telling), 0)]]


def _row(move: Move, since: Since, pool: PoolVerdict) -> tuple[str, ...]:
    added = move.games_added
    return (
        move.now.card,
        move.before.verdict,
        MARKS[move.now.verdict],
        "?" if added is None else f"{added:+,}" if added else "0",
        words.beside_line(move.before.estimate, since.earlier.line),
        card_words.estimate(move.now, pool),
        card_words.range_of(move.now, pool),
        card_words.chance_below(move.before, since.earlier),
        card_words.chance_below(move.now, pool),
        _causes(move),
    )


def _how_parted(since: Since, pool: PoolVerdict) -> str:
    left = len(since.moves) - len(_shown(since))
    more = f"Not shown: {left:,} more. " if left else ""
    baseline = (
        " The baseline is the table's own mean, so new games move the line and the estimates "
        "together."
        if pool.baseline_origin == "sample"
        else ""
    )
    return (
        f"{more}Changed by: what is known now is first held against the earlier line, then the "
        "line is moved, then how sure is sure enough; each step that changes the verdict is "
        "named. Its games: the card's own new games. The pool around it: other cards' games, "
        f"which say what is usual.{baseline}"
    )


def _moved(move: Move, since: Since, pool: PoolVerdict) -> str:
    then = card_words.chance_below(move.before, since.earlier)
    chances = _from_to(then, card_words.chance_below(move.now, pool))
    return f"{visible(move.now.card)} ({chances}, by {_causes(move)})"


def _causes(move: Move) -> str:
    return " and ".join(CAUSES[cause] for cause in move.causes)


def _named(cards: Sequence[CardVerdict | EarlierCard]) -> str:
    return _listed([visible(card.card) for card in cards])


def _gone(cards: Sequence[EarlierCard]) -> str:
    cuts = sum(card.verdict == "cut" for card in cards)
    called = f", of {words.plural(len(cards), 'card')} {cuts:,} had been called cut"
    return f"{_named(cards)}{called}"


def _listed(texts: Sequence[str]) -> str:
    rest = f" and {len(texts) - NAMED:,} more" if len(texts) > NAMED else ""
    return f"{', '.join(texts[:NAMED])}{rest}"
