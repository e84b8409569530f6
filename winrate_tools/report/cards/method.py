"""The small print in large letters: how to read a report and how it came about."""

from collections.abc import Mapping

from winrate_tools.decide.cards.own_games import is_kept_by_pool
from winrate_tools.decide.cards.spread import spread_range
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report import ranges, words
from winrate_tools.report.cards.cautions import cautions
from winrate_tools.report.cards.sentences import (
    MEASURES,
    detail_sentence,
    line_sentence,
    reference_sentence,
)
from winrate_tools.report.document import Entries, Entry, Section
from winrate_tools.tables import Source

MOST_NAMED = 5
"""Factions that are named; the table of cards has them all."""


def how_to_read(pool: PoolVerdict) -> Section:
    """Explain every kind of number in the report."""
    name = words.range_name(pool.sure)
    scale = (
        "19 or more: almost surely; 16 to 18: probably; 13 to 15: more likely than not; "
        "8 to 12: cannot tell; and so on down."
    )
    entries = (
        Entry("Chance", f"{reference_sentence()} In words, of 20: {scale}"),
        Entry(
            "Estimate",
            f"the best guess at the win rate that the card brings. {_estimate(pool)} Win rates "
            "have one decimal, the line two where one would round it, and numbers near the "
            "line as many as show on which side of it they lie.",
        ),
        Entry(
            f"{name} range",
            f"the chance that the true win rate lies inside is {name}. It clears the line "
            "exactly when there is a verdict.",
        ),
        Entry(
            "Verdict",
            f"cut: the chance of being below the line is {words.cut_bar(pool.sure)}; "
            f"keep: it is {words.keep_bar(pool.sure)}; more games: neither.",
        ),
        *_by_pool(pool),
        Entry("Rank", "from the weakest, 1; 9 in 10 that the true rank lies in the range."),
        Entry(
            "Use",
            "how far above or below the usual card drafters value it; 1 is how far cards "
            "usually lie off it (a standard deviation).",
        ),
    )
    return Section("How to read the numbers", (Entries(entries),))


def _by_pool(pool: PoolVerdict) -> list[Entry]:
    """Explain keeps that say more of the pool than of the card, where there are any."""
    number = sum(is_kept_by_pool(card, pool) for card in pool.cards)
    if not number:
        return []
    return [
        Entry(
            "Settled by the pool",
            f"{words.plural(number, 'card')}, kept because few cards like that are weak: own "
            "games are too few to say much. Without them, the range would be at most a ninth "
            "wider.",
        )
    ]


def _estimate(pool: PoolVerdict) -> str:
    """Say where an estimate lies against the raw win rate, and why."""
    nearer = (
        "It lies nearer to the pool than the raw win rate does, most of all where games are "
        "few, because part of every raw win rate is luck."
    )
    apart = _taken_off(pool)
    if not apart:
        return nearer
    return (
        f"{nearer} What {apart} would have won anyway is taken off first, so it may also lie "
        "farther out."
    )


def _taken_off(pool: PoolVerdict) -> str:
    """Name the company that is told apart."""
    decks = "archetype" in pool.strata
    told = ["its archetypes"] if decks else ["its faction"] if pool.factions else []
    told += ["its players"] if "skill_band" in pool.strata else []
    return " and ".join(told)


def how_it_was_worked_out(
    pool: PoolVerdict, source: Source, origins: Mapping[str, str], version: str
) -> Section:
    """State data, baseline, assumptions, limits, version and seed."""
    entries = (
        Entry("Data", _data(source)),
        Entry("Games that count", f"{MEASURES[pool.measure]} (measure: {pool.measure})."),
        Entry("Line", _line(pool)),
        Entry("Players", _players(pool)),
        Entry("Method", _method(pool)),
        Entry("Detail", detail_sentence(pool)),
        Entry("Spread", _spread(pool)),
        Entry("Allowance", _allowance(pool)),
        Entry("Games in runs", _runs(pool)),
        Entry("On reading", _notes(source)),
        Entry("Limits", " ".join(cautions(pool)) or "none beyond the above."),
        Entry("Settings", _settings(origins)),
        Entry("Made by", f"winrate_tools {version}, seed {pool.seed}."),
    )
    return Section("How this was worked out", (Entries(entries),))


def _notes(source: Source) -> str:
    if len(source.notes) < 2:
        return "".join(source.notes) or "nothing was assumed, mended or left out."
    return " ".join(f"({place}) {note}" for place, note in enumerate(source.notes, start=1))


def _line(pool: PoolVerdict) -> str:
    if pool.baseline_origin == "sample":
        return line_sentence(pool)
    mean = words.exact_percent(pool.sample_mean)
    return f"{line_sentence(pool)} The table's own mean is {mean}."


def _players(pool: PoolVerdict) -> str:
    bands = ", ".join(pool.bands)
    told = f" Skill bands, the weakest first: {bands}." if pool.bands else ""
    if pool.target == "sample":
        return f"the estimates are for players like those of the table.{told}"
    whose = "players who win half their games" if pool.target == "even" else pool.target
    return (
        f"the estimates are for {whose}, not for the table's players; how much each card "
        f"changes with skill is uncertain and widens its range. Games and win rates as counted "
        f"are those of all the table's players.{told}"
    )


def _data(source: Source) -> str:
    as_headed = [role for role, header in source.roles.items() if _same(role, header)]
    parts = [source.name]
    if as_headed:
        parts.append(f"{', '.join(as_headed)} as headed")
    parts += [
        f"{role} from {header}"
        for role, header in source.roles.items()
        if role not in as_headed
    ]
    mark = f"; SHA-256 {source.sha256}" if source.sha256 else ""
    return f"{'; '.join(parts)}{mark}."


def _same(role: str, header: str) -> bool:
    return header.strip().lower().replace(" ", "_") == role


def _method(pool: PoolVerdict) -> str:
    usage = ", ".join(column.replace("_", " ") for column in pool.usage_columns)
    towards = (
        f"what cards used like it usually show (use is taken from {usage})"
        if usage
        else "the pool's mean (how drafters use the cards plays no part)"
    )
    apart = ""
    if pool.strata:
        kinds = " and ".join(name.replace("_", " ") for name in pool.strata)
        apart = f" Records are compared with what their {kinds} leads one to expect."
    if pool.factions:
        few, more = pool.factions[:MOST_NAMED], len(pool.factions) - MOST_NAMED
        named = ", ".join(few) + (f" and {more} more" if more > 0 else "")
        apart += f" What the cards of a faction share is set apart ({named})."
    return (
        f"each card's record is drawn towards {towards}, the further the fewer its games. How "
        "far is learnt from the pool itself, and what is uncertain about that is counted in."
        f"{apart}"
    )


def _spread(pool: PoolVerdict) -> str:
    found, name = spread_range(pool), words.range_name(pool.sure)
    differ = (
        f"by {words.points(pool.spread, 1)} (standard deviation; {name} range: "
        f"{ranges.points(found.spread_low, found.spread_high)})"
    )
    ends = ranges.shares(found.real_share_low, found.real_share_high)
    share = (
        f"about {words.share(pool.real_share)} ({ends}) of the variation between raw win rates"
    )
    if "few cards" in pool.warnings:
        return (
            f"the cards' own values are taken to differ {differ}, and {share} to be their own. "
            "Both are taken from other pools for the most part: fewer than 30 cards with games "
            "are too few to learn them."
        )
    return (
        f"the cards' own values differ {differ}; {share} is their own, the rest is company and "
        "luck."
    )


def _allowance(pool: PoolVerdict) -> str:
    kept = words.plain(pool.allowance)
    if pool.is_learnt:
        return (
            "how much of a record is the card's own was learnt from the pool: games with the "
            "card in hand against games of the same decks in which it stayed there. By that, "
            f"{words.share(pool.allowance)} of what sets the records of its decks apart is "
            "the card's own; each card's own comparison then has its say."
        )
    if pool.allowance == 1:
        return (
            f"records are taken at face value (allowance {kept}): all of the real spread is "
            "put down to the cards."
        )
    return (
        f"{words.share(pool.allowance)} of the real spread between records is put down to the "
        f"cards (allowance {kept}), the rest to their company and to who plays them, which no "
        "number of games removes. Where a card names another share, its verdict would change "
        "there."
    )


def _runs(pool: PoolVerdict) -> str:
    if pool.design_effect == 1:
        return "every game counts as independent of the others (design effect 1)."
    return (
        f"games with one deck resemble each other, so {words.plain(pool.design_effect)} games "
        "count as one independent game (design effect)."
    )


def _settings(origins: Mapping[str, str]) -> str:
    chosen = {name: origin for name, origin in origins.items() if origin != "default"}
    if not chosen:
        return "all as they come."
    told = "; ".join(f"{name.replace('_', ' ')}: {origin}" for name, origin in chosen.items())
    return f"{told}; all others as they come."
