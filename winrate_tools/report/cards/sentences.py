"""Whole sentences about cards and pools; each verdict carries its number, line and evidence."""

from collections import Counter

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.cards import card_words
from winrate_tools.report.likelihood import likelihood

ONE_IN_SO_MANY = 10
BASELINE_ORIGINS = {
    "sample": "the mean of this table",
    "given": "given by you",
    "player_rate": "the usual win rate of the players behind each row",
    "target": "what an average card wins in the hands of those asked for",
}
MEASURES = {
    "held": "games in which the card was in hand at some time",
    "opening": "games in which the card was in the opening hand",
    "deck": "games in which the card was in the deck",
}


def verdict_sentence(card: CardVerdict, pool: PoolVerdict) -> str:
    """Say what the data say about one card, without its name.

    Returns
    -------
    str
        Sentences with the chance, the line, the estimate with its range, and the games.
    """
    line = words.exact_percent(pool.line)
    if not card.games:
        known = "no games yet" if card.games == 0 else "its games are not known"
        guess = f"{known}, so the estimate is only what the pool suggests"
        return f"{guess}: {_estimate(card, pool)}, with the line at {line}.{_settling(card)}"
    number = card_words.chance_below(card, pool)
    chance = f"{number} ({_word(card, pool)}) that its true win rate is below {line}"
    evidence = f"Best estimate {_estimate(card, pool)} from {words.plural(card.games, 'game')}."
    if card.verdict == "more games":
        return f"{chance}{_asked(card, pool)}. {evidence}{_settling(card)}"
    return f"{chance}. {evidence}"


def _word(card: CardVerdict, pool: PoolVerdict) -> str:
    return likelihood(words.twentieths(card.chance_below, pool.sure, card.verdict))


def _estimate(card: CardVerdict, pool: PoolVerdict) -> str:
    estimate, low_to_high = card_words.estimate(card, pool), card_words.range_of(card, pool)
    return f"{estimate} ({words.range_name(pool.sure)} range: {low_to_high})"


def _asked(card: CardVerdict, pool: PoolVerdict) -> str:
    if 2 * words.twentieths(card.chance_below, pool.sure, card.verdict) >= words.TWENTY:
        return f", and a cut takes {words.cut_bar(pool.sure)}"
    return f", and a keep takes {words.keep_bar(pool.sure)}"


def _settling(card: CardVerdict) -> str:
    if card.games_worth is not None and card.chance_worth is not None:
        chance = words.in_twenty(card.chance_worth)
        return (
            f" About {words.about(card.games_worth)} more games would settle it with a chance "
            f"of {chance}; games beyond them add little."
        )
    if card.games_needed is None:
        return " More of the same games will not help."
    return f" About {words.about(card.games_needed)} more games would very likely settle it."


def expected_wrong(pool: PoolVerdict) -> str:
    """Say how many of the cuts, and of the keeps, are expected to be wrong."""
    cuts = len(pool.called("cut"))
    if not cuts:
        return f"No card is called cut.{_wrong_keeps(pool)}"
    wrong = words.expected(pool.expected_wrong)
    return (
        f"Of the {words.plural(cuts, 'card')} called cut, expect {wrong} to be wrong: not "
        f"truly below the line.{_wrong_keeps(pool)}"
    )


def _wrong_keeps(pool: PoolVerdict) -> str:
    kept = [card.chance_below for card in pool.called("keep")]
    if not kept:
        return ""
    weak = words.expected(sum(kept))
    return f" Of the {words.plural(len(kept), 'card')} called keep, expect {weak} to be weak."


def face_value_sentence(pool: PoolVerdict) -> str:
    """Say how many verdicts hang on how much of a record is put down to the card.

    Returns
    -------
    str
        A sentence where that is assumed and one verdict in ten hangs on it; else "".
    """
    return _if_much_hangs(
        pool,
        "Much hangs on how much of a record is the card's own, which is assumed "
        f"(allowance {words.plain(pool.allowance)}): if all of it were, ",
    )


def face_value_brief(pool: PoolVerdict) -> str:
    """Say the same as `face_value_sentence` in fewer words."""
    return _if_much_hangs(
        pool,
        "Much hangs on what records owe to company, which is assumed (allowance "
        f"{words.plain(pool.allowance)}): if they owed it nothing, ",
    )


def _if_much_hangs(pool: PoolVerdict, start: str) -> str:
    """Go on with the verdicts at face value, where one in ten is another one there."""
    if pool.face_value is None:
        return ""
    called = Counter(card.verdict for card in pool.cards)
    cuts, keeps = pool.face_value
    changed = max(abs(cuts - called["cut"]), abs(keeps - called["keep"]))
    if changed * ONE_IN_SO_MANY < len(pool.cards):
        return ""
    return (
        f"{start}{cuts:,} would be cut, not {called['cut']:,}, and {keeps:,} kept, not "
        f"{called['keep']:,}."
    )


def line_sentence(pool: PoolVerdict) -> str:
    """Say where the line is and why."""
    line, baseline = words.exact_percent(pool.line), words.exact_percent(pool.baseline)
    origin = BASELINE_ORIGINS[pool.baseline_origin]
    return (
        f"A card is weak below the line of {line}: {words.points(pool.margin)} under the "
        f"baseline of {baseline} ({origin})."
    )


def detail_sentence(pool: PoolVerdict) -> str:
    """Say what detail the counts had, and what finer ones would buy."""
    kinds = " and ".join(name.replace("_", " ") for name in pool.strata)
    had = f"counts by card and {kinds}" if kinds else "one total for each card"
    had += ", with held and unheld games" if pool.has_unheld else ""
    missing = [
        what
        for what, there in (
            (
                "rows by archetype would tell weak cards from weak homes",
                "archetype" in pool.strata,
            ),
            ("rows by skill band would tell them from weak hands", "skill_band" in pool.strata),
            ("unheld games would show what the card itself does", pool.has_unheld),
        )
        if not there
    ]
    return f"{had}. {'; '.join(missing).capitalize()}." if missing else f"{had}: all there is."


def counts_sentence(pool: PoolVerdict) -> str:
    """Say how many cards there are and how they were judged."""
    number = Counter(card.verdict for card in pool.cards)
    return (
        f"{words.plural(len(pool.cards), 'card')}: {number['cut']:,} to cut, "
        f"{number['keep']:,} to keep, {number['more games']:,} that cannot be called yet."
    )


def reference_sentence() -> str:
    """Say once what a chance in twentieths refers to."""
    return (
        '"17 in 20" means: take 20 cards with evidence like this one\'s, and about 17 of them '
        "truly lie below the line, the other 3 on or above it."
    )
