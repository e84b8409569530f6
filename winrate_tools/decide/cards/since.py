"""What changed since an earlier ranking, and why: games, assumptions, the line, how sure."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from winrate_tools.alike import folded
from winrate_tools.decide.cards.rules import Rule, Verdict
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.settings import Settings

Cause = Literal["games", "assumptions", "pool", "line", "sure"]

ASSUMED = ("allowance", "design_effect", "bands")
"""Settings that move the estimates themselves."""
ORDER: tuple[Verdict, ...] = ("cut", "more games", "keep")


@dataclass(frozen=True, slots=True)
class EarlierCard:
    """What an earlier ranking said of one card.

    Attributes
    ----------
    card : str
        Name.
    games, wins : int or None
        Counts, None where unknown.
    estimate, chance_below : float
        Best estimate of the win rate, and the probability of lying below the earlier line.
    verdict : str
        ``"cut"``, ``"keep"`` or ``"more games"``.
    """

    card: str
    games: int | None
    wins: int | None
    estimate: float
    chance_below: float
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Earlier:
    """An earlier ranking of a pool.

    Attributes
    ----------
    name : str
        Of the table it was made from.
    sha256 : str or None
        Of that table's bytes.
    version : str
        Version that made it.
    line, baseline, margin, sure : float
        As in `PoolVerdict`.
    measure, target : str
        Which games counted, and whose games the estimates were for.
    settings : mapping of str to object
        What was asked for, by the names of `Settings`.
    counts : mapping of str to object
        Of what kind the counts were: ``"strata"``, ``"has_unheld"``, ``"usage_columns"``.
    size : int
        Cards of the pool, of which `cards` may be a part.
    cards : tuple of EarlierCard
        The cards it tells of.
    """

    name: str
    sha256: str | None
    version: str
    line: float
    baseline: float
    margin: float
    sure: float
    measure: str
    target: str
    settings: Mapping[str, object]
    counts: Mapping[str, object]
    size: int
    cards: tuple[EarlierCard, ...]


@dataclass(frozen=True, slots=True)
class Move:
    """A card whose verdict is another than it was.

    Attributes
    ----------
    before : EarlierCard
        What was said of it.
    now : CardVerdict
        What is said of it.
    chance_at_old_line : float
        Probability that it lies below the earlier line, by what is known now.
    causes : tuple of str
        Which of the steps from then to now changed the verdict: ``"games"`` (its own counts
        moved the estimate), ``"assumptions"`` (other settings or another kind of counts did),
        ``"pool"`` (neither: what is usual in the pool moved), ``"line"``, ``"sure"``.
    """

    before: EarlierCard
    now: CardVerdict
    chance_at_old_line: float
    causes: tuple[Cause, ...]

    @property
    def games_added(self) -> int | None:
        """Games that the card has more of; below 0 for fewer, None where unknown."""
        if self.before.games is None or self.now.games is None:
            return None
        return self.now.games - self.before.games


@dataclass(frozen=True, slots=True)
class Since:
    """What changed since an earlier ranking.

    Attributes
    ----------
    earlier : Earlier
        That ranking.
    moves : tuple of Move
        Cards with another verdict: first those now called cut, then the open ones, then the
        kept; the likeliest to be weak first.
    shared : int
        Cards that both rankings tell of.
    games_added : int
        Card-games more of those cards, where known both times.
    fewer : int
        Cards of those that have fewer games than they had.
    new : tuple of CardVerdict
        Cards that the earlier ranking does not tell of; () where it was only a part.
    gone : tuple of EarlierCard
        Cards that are no longer there.
    changed : tuple of str
        Settings, and kinds of counts, that are not what they were.
    """

    earlier: Earlier
    moves: tuple[Move, ...]
    shared: int
    games_added: int
    fewer: int
    new: tuple[CardVerdict, ...]
    gone: tuple[EarlierCard, ...]
    changed: tuple[str, ...]


def since(earlier: Earlier, pool: PoolVerdict, settings: Settings) -> Since:
    """Compare a judged pool with an earlier ranking of it.

    A verdict's way from then to now is taken in three steps: what is known now against the
    earlier line, then the line of now, then how sure is sure enough now. Each step that changes
    the verdict is a cause. The line may move with the sample's own mean, and the estimates
    with it; both steps then show.

    Parameters
    ----------
    earlier : Earlier
        The earlier ranking, of the same measure and for the same players.
    pool : PoolVerdict
        The pool as it is judged now.
    settings : Settings
        What was asked for now.
    """
    chances = pool.beliefs.chance_below(earlier.line)
    known = {folded(one.card): one for one in earlier.cards}
    pairs = [
        (known[folded(card.card)], card, float(chance))
        for card, chance in zip(pool.cards, chances, strict=True)
        if folded(card.card) in known
    ]
    changed = _changed(earlier, pool, settings)
    moves = [
        _move(before, card, chance, earlier, pool, changed)
        for before, card, chance in pairs
        if before.verdict != card.verdict
    ]
    added = [
        card.games - before.games
        for before, card, _ in pairs
        if card.games is not None and before.games is not None
    ]
    names = {folded(card.card) for card in pool.cards}
    is_whole = len(earlier.cards) == earlier.size
    return Since(
        earlier=earlier,
        moves=tuple(sorted(moves, key=_place)),
        shared=len(pairs),
        games_added=sum(added),
        fewer=sum(games < 0 for games in added),
        new=tuple(c for c in pool.cards if folded(c.card) not in known) if is_whole else (),
        gone=tuple(one for one in earlier.cards if folded(one.card) not in names),
        changed=changed,
    )


def _move(
    before: EarlierCard,
    card: CardVerdict,
    chance: float,
    earlier: Earlier,
    pool: PoolVerdict,
    changed: tuple[str, ...],
) -> Move:
    has_games = bool(card.games)
    known_now = Rule(earlier.line, earlier.sure).verdict(chance, has_games=has_games)
    line_now = Rule(pool.line, earlier.sure).verdict(card.chance_below, has_games=has_games)
    causes: list[Cause] = []
    if known_now != before.verdict:
        causes += _sources(before, card, changed)
    if line_now != known_now:
        causes.append("line")
    if card.verdict != line_now:
        causes.append("sure")
    return Move(before, card, chance, tuple(causes))


def _sources(before: EarlierCard, card: CardVerdict, changed: tuple[str, ...]) -> list[Cause]:
    """Name what can have moved a card's estimate; two things at once cannot be parted."""
    found: list[Cause] = []
    if (before.games, before.wins) != (card.games, card.wins):
        found.append("games")
    if set(changed) - {"baseline", "margin", "sure"}:
        found.append("assumptions")
    return found or ["pool"]


def _changed(earlier: Earlier, pool: PoolVerdict, settings: Settings) -> tuple[str, ...]:
    now: dict[str, object] = {
        "strata": pool.strata,
        "has_unheld": pool.has_unheld,
        "usage_columns": pool.usage_columns,
    }
    asked = [
        name
        for name in ("baseline", *ASSUMED)
        if earlier.settings.get(name) != getattr(settings, name)
    ]
    counts = [name for name, value in now.items() if earlier.counts.get(name) != value]
    used = [
        name
        for name in ("margin", "sure")
        if abs(getattr(earlier, name) - getattr(pool, name)) > 1e-12
    ]
    return (*asked, *used, *counts)


def _place(move: Move) -> tuple[int, float]:
    return ORDER.index(move.now.verdict), -move.now.chance_below
