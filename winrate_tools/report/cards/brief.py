"""The cut report in ten lines of plain text, to paste where friends talk."""

from collections.abc import Iterator, Sequence

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool, ArchetypeVerdict
from winrate_tools.decide.cards.since import Since
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.archetypes import archetype_words
from winrate_tools.report.cards import card_words
from winrate_tools.report.cards.cautions import cautions
from winrate_tools.report.cards.prospects import usual_games, whom
from winrate_tools.report.cards.sentences import (
    counts_sentence,
    expected_wrong,
    face_value_brief,
    line_sentence,
)
from winrate_tools.report.cards.since import since_sentence
from winrate_tools.report.forms.glyphs import visible
from winrate_tools.tables import Source

LONGEST = 6
"""Names in one line; the others are counted."""


def brief(
    pool: PoolVerdict, source: Source, *, version: str, since: Since | None = None
) -> str:
    """Write the cut report in at most ten lines.

    Returns
    -------
    str
        Lines without markup: counts, the line, the cuts with their numbers, how many of them
        are expected to be wrong, traps, archetypes, what cannot be said, what limits it all,
        what changed, and where it comes from. Names stand as they are, but for characters that
        would break a line.
    """
    lines = [
        counts_sentence(pool),
        line_sentence(pool),
        *_cuts(pool),
        *_traps(pool),
        *_archetypes(pool.archetypes),
        *_open(pool),
        *_limits(pool),
        *([since_sentence(since, pool)] if since else []),
        f"From {source.name}, games that count: {pool.measure}; winrate_tools {version}.",
    ]
    return "\n".join(visible(line) for line in lines) + "\n"


def _cuts(pool: PoolVerdict) -> Iterator[str]:
    if cuts := pool.called("cut"):
        name = words.range_name(pool.sure)
        yield (
            f"Cut (chance of being below the line; best estimate, {name} range, games): "
            f"{_listed([_evidence(card, pool) for card in cuts])}."
        )
    yield expected_wrong(pool)


def _evidence(card: CardVerdict, pool: PoolVerdict) -> str:
    return (
        f"{card.card} ({card_words.chance_below(card, pool)}; "
        f"{card_words.estimate(card, pool)}, {card_words.range_of(card, pool)}, "
        f"{words.count(card.games)})"
    )


def _traps(pool: PoolVerdict) -> Iterator[str]:
    if traps := pool.because("trap"):
        named = [f"{card.card} ({card_words.chance_below(card, pool)})" for card in traps]
        yield f"Traps, likely weak yet sought after: {_listed(named)}."


def _archetypes(pool: ArchetypePool | None) -> Iterator[str]:
    if pool is not None:
        yield archetype_words.summary(
            pool, lambda found: _listed([_standing(one, pool) for one in found])
        )


def _standing(one: ArchetypeVerdict, pool: ArchetypePool) -> str:
    line = pool.low_line if one.verdict == "underpowered" else pool.high_line
    return (
        f"{one.archetype} ({archetype_words.chance(one, pool)} {words.exact_percent(line)}; "
        f"{archetype_words.estimate(one, pool)}, {archetype_words.range_of(one, pool)})"
    )


def _open(pool: PoolVerdict) -> Iterator[str]:
    waiting = pool.called("more games")
    if not waiting:
        return
    needed = [card.games_needed for card in waiting if card.games_needed is not None]
    said = f"{words.plural(len(waiting), 'card')} cannot be called yet"
    if needed:
        said += f"; {len(needed):,} could be with more games"
        said += f", the nearest with about {words.about(min(needed))} of its own"
    tried = [card for card in waiting if card.games_worth is not None]
    if tried:
        said += f"; games may settle {whom(len(tried), len(waiting))} or not, "
        said += f"and do most of what they can with about {usual_games(tried)} more a card"
    if hopeless := len(waiting) - len(needed) - len(tried):
        said += f"; more of the same games will not help {whom(hopeless, len(waiting))}"
    yield f"{said}."


def _limits(pool: PoolVerdict) -> Iterator[str]:
    if told := [said for said in (face_value_brief(pool), *cautions(pool)) if said]:
        yield f"Mind: {' '.join(told)}"


def _listed(texts: Sequence[str]) -> str:
    rest = f", and {len(texts) - LONGEST:,} more" if len(texts) > LONGEST else ""
    return f"{', '.join(texts[:LONGEST])}{rest}"
