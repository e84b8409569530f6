"""What games can show, before anyone has played them."""

from dataclasses import dataclass

from winrate_tools.report import words
from winrate_tools.report.cards.sentences import BASELINE_ORIGINS
from winrate_tools.report.document import (
    Document,
    Entries,
    Entry,
    Paragraph,
    Section,
    Table,
    TableColumn,
)
from winrate_tools.report.support.power_pool import (
    SO_FAR_BELOW,
    PoolBehind,
    counting_explained,
    pool_sentence,
    so_far_below,
)

ONE_POINT = 0.01
FEW = 100
"""Games below which one game more or less shows in the smallest distance."""
WIDEST = 0.1
"""Distance below the line beyond which hardly any card lies. A judgement, no source."""


@dataclass(frozen=True, slots=True)
class PowerTable:
    """Chances to call a weak card, over gaps and games; rates are fractions.

    Attributes
    ----------
    baseline, margin : float
        Win rate of an average card, and how far below it still counts as fine.
    is_given : bool
        Whether the user chose the baseline.
    sure, chance : float
        How sure is sure enough, and the chance wanted of becoming so.
    design_effect : float
        How many games count as one independent game.
    gaps : tuple of float
        How far below the line the cards truly are.
    games : tuple of int
        Numbers of games of one card.
    needed : tuple of int
        For each gap, games that give the chance wanted.
    told : tuple of tuple of float
        For each gap, the chance after each number of games.
    smallest : tuple of (float or None)
        For each number of games, the smallest gap with the chance wanted; None for too few.
    pool : PoolBehind or None
        The pool whose baseline, spread and games these are; None where there is no table.
    """

    baseline: float
    margin: float
    is_given: bool
    sure: float
    chance: float
    design_effect: float
    gaps: tuple[float, ...]
    games: tuple[int, ...]
    needed: tuple[int, ...]
    told: tuple[tuple[float, ...], ...]
    smallest: tuple[float | None, ...]
    pool: PoolBehind | None = None

    @property
    def line(self) -> float:
        """Win rate below which a card is weak."""
        return self.baseline - self.margin


def power_report(power: PowerTable) -> Document:
    """Describe what games can show.

    Returns
    -------
    Document
        The line, games needed by gap, gaps by games, how to read it.
    """
    opening = [] if power.pool is None else [Paragraph(pool_sentence(power.pool))]
    sections = (
        Section("", (Paragraph(f"{_line(power)} {_runs(power)}"), *opening)),
        Section("How many games it takes", (Paragraph(needed_sentence(power)), _by_gap(power))),
        Section(
            "What a number of games can show",
            (Paragraph(_shown(power)), _by_games(power), *_far_too_few(power)),
        ),
        _how_to_read(power),
    )
    return Document("What games can show", sections)


def needed_sentence(power: PowerTable) -> str:
    """Say what one gap in the middle of the list takes.

    Examples
    --------
    >>> power = PowerTable(0.55, 0.02, True, 0.9, 0.8, 1.28, (0.02,), (), (3694,), ((),), ())
    >>> print(needed_sentence(power))
    A card 2 points below the line needs about 3,700 games before you would be 9 in 10 sure of \
it with a chance of 16 in 20.
    """
    middle = (len(power.gaps) - 1) // 2
    return (
        f"A card {words.points(power.gaps[middle])} below the line needs about "
        f"{words.about(power.needed[middle])} games before you would be {_sure(power)} of it "
        f"with a chance of {words.in_twenty(power.chance)}."
    )


def _line(power: PowerTable) -> str:
    baseline = f"the baseline of {words.exact_percent(power.baseline)} ({_origin(power)})"
    if power.margin == 0:
        return f"The line is {baseline}; a card that truly wins less is weak."
    return (
        f"The line is {words.exact_percent(power.line)}: {words.points(power.margin)} under "
        f"{baseline}. A card that truly wins less is weak."
    )


def _origin(power: PowerTable) -> str:
    if power.is_given:
        return BASELINE_ORIGINS["given"]
    if power.pool is None:
        return "a usual one, as there is no table to ask"
    return BASELINE_ORIGINS[power.pool.baseline_origin]


def _runs(power: PowerTable) -> str:
    if power.design_effect == 1:
        return "Every game counts as independent of the others."
    return (
        "Games with one deck resemble each other, so "
        f"{words.plain(power.design_effect)} games count as one independent game."
    )


def _sure(power: PowerTable) -> str:
    """Name how sure is sure enough: the range of that name is what holds so often."""
    return f"{words.range_name((1 + power.sure) / 2)} sure"


def _by_gap(power: PowerTable) -> Table:
    after = [
        TableColumn(words.plural(games, "game"), is_number=True, spare=place)
        for place, games in enumerate(power.games, start=1)
    ]
    below = [()] * len(power.gaps) if power.pool is None else so_far_below(power.pool)
    rows = [
        (
            words.points(gap),
            words.about(needed),
            *cards,
            *(words.in_twenty(chance) for chance in chances),
        )
        for gap, needed, cards, chances in zip(
            power.gaps, power.needed, below, power.told, strict=True
        )
    ]
    heads = [TableColumn("Below the line"), TableColumn("Games needed", is_number=True)]
    if power.pool is not None:
        heads.append(TableColumn(SO_FAR_BELOW, is_number=True))
    return Table((*heads, *after), tuple(rows))


def _shown(power: PowerTable) -> str:
    return (
        f"The smallest distance below the line at which you would become {_sure(power)} of a "
        f"weak card with a chance of {words.in_twenty(power.chance)}.{_jumps(power)}"
    )


def _jumps(power: PowerTable) -> str:
    """Say why few more games may seem to show less."""
    if min(power.games, default=FEW) >= FEW:
        return ""
    return " With few games it does not shrink evenly: games are whole, and whole games jump."


def _by_games(power: PowerTable) -> Table:
    rows = [
        (words.plural(games, "game"), _distance(gap))
        for games, gap in zip(power.games, power.smallest, strict=True)
    ]
    heads = (TableColumn("With"), TableColumn("Smallest distance", is_number=True))
    return Table(heads, tuple(rows))


def _distance(gap: float | None) -> str:
    if gap is None:
        return "too few to tell"
    return words.points(gap, 1 if gap >= ONE_POINT else 2)


def _far_too_few(power: PowerTable) -> tuple[Paragraph, ...]:
    """Say what it would take, where no number of games asked about tells a card at all."""
    if not power.games or any(gap is not None and gap <= WIDEST for gap in power.smallest):
        return ()
    middle = (len(power.gaps) - 1) // 2
    return (
        Paragraph(
            "So few games tell hardly any card from another: few cards lie more than "
            f"{words.points(WIDEST)} below the line. It takes some "
            f"{words.about(power.needed[middle])} games a card to tell "
            f"{words.points(power.gaps[middle])}, and some {words.about(power.needed[-1])} to "
            f"tell {words.points(power.gaps[-1])}. Put friends' records of the same pool into "
            "one table, or take a wider margin and cut only what lies far below."
        ),
    )


def _how_to_read(power: PowerTable) -> Section:
    chance, luck = words.in_twenty(power.chance), words.in_twenty(1 - power.sure)
    entries = (
        Entry(
            _sure(power),
            f"of cards that lie exactly on the line, about {luck} look as weak by luck alone.",
        ),
        Entry(
            "Games needed",
            f"after so many games with the card the chance to become so sure is {chance}. The "
            "columns beside it give the chance after other numbers of games.",
        ),
        *(() if power.pool is None else (counting_explained(power.pool),)),
        Entry(
            "One card by itself",
            "all this holds for one card's games alone. The command rank looks at the whole "
            "pool too, which tells it how much of a record is luck, and can need fewer games "
            "or more.",
        ),
        Entry(
            "Luck only",
            "games remove luck. What a record owes to the players who choose the card and to "
            "the cards beside it stays, however many games there are.",
        ),
    )
    return Section("How to read this", (Entries(entries),))
