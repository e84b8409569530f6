"""What differs between two pools: what is out, what is in, and what archetypes are made of."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from winrate_tools.alike import folded
from winrate_tools.decide.packs.archetypes_named import archetypes_named
from winrate_tools.decide.plan.matching import nearest
from winrate_tools.errors import CountError
from winrate_tools.pools import PoolCard, PoolTable


@dataclass(frozen=True, slots=True)
class CardChange:
    """One card that is not in both pools with as many copies.

    Attributes
    ----------
    card : PoolCard
        As in the new pool, or in the old one if the new one lacks it.
    before, after : int
        Copies.
    why : str
        The reason, "" where nobody wrote one.
    """

    card: PoolCard
    before: int
    after: int
    why: str


@dataclass(frozen=True, slots=True)
class Support:
    """What the pools hold for one archetype, copies counted.

    Attributes
    ----------
    archetype : str
        Name.
    before, after : int
        Cards that support it.
    new, gone : tuple of str
        Cards that came in for it, and that went.
    roles : tuple of (str, int)
        Its cards in the new pool by role, the commonest first; () where roles are unknown.
    """

    archetype: str
    before: int
    after: int
    new: tuple[str, ...]
    gone: tuple[str, ...]
    roles: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Changes:
    """Everything that differs between two pools.

    Attributes
    ----------
    out, into, more, fewer : tuple of CardChange
        Cards gone, new, with more and with fewer copies, in the order of their files.
    before, after : int
        Sizes.
    kept : int
        Cards that are the same in both, copies not counted.
    supports : tuple of Support
        Archetypes, in the order of the new pool; () where no card names any, or where fewer
        than half of the copies of one of the pools do.
    alike : tuple of (str, str)
        Cards gone and new cards of almost their name, which may be the same ones misspelt.
    few_name_archetypes : bool
        Whether some cards name archetypes, but fewer than half of the copies of one of the
        pools.
    """

    out: tuple[CardChange, ...]
    into: tuple[CardChange, ...]
    more: tuple[CardChange, ...]
    fewer: tuple[CardChange, ...]
    before: int
    after: int
    kept: int
    supports: tuple[Support, ...]
    alike: tuple[tuple[str, str], ...]
    few_name_archetypes: bool = False


def changes_between(
    old: PoolTable, new: PoolTable, reasons: Mapping[str, str] | None = None
) -> Changes:
    """Compare two pools.

    Parameters
    ----------
    old, new : PoolTable
        The pools; cards with no copies are in neither.
    reasons : mapping of str to str, optional
        Card to why it changed.

    Raises
    ------
    CountError
        If the pools have no card in common.

    Examples
    --------
    >>> old = PoolTable([PoolCard("Ash Vine", 3), PoolCard("Tin Moth", 1)])
    >>> new = PoolTable([PoolCard("ash vine", 2), PoolCard("Elm Bell", 2)])
    >>> found = changes_between(old, new)
    >>> [one.card.card for one in (*found.out, *found.into, *found.fewer)]
    ['Tin Moth', 'Elm Bell', 'ash vine']
    """
    had, has = _held(old), _held(new)
    if not had.keys() & has.keys():
        msg = "the two pools have no card in common: they are of different games"
        raise CountError(msg)
    told = {folded(name): why for name, why in (reasons or {}).items()}
    found = [
        CardChange(
            has.get(name, had.get(name)),  # type: ignore[arg-type]
            had[name].copies if name in had else 0,
            has[name].copies if name in has else 0,
            told.get(name, ""),
        )
        for name in dict.fromkeys([*had, *has])
    ]
    named = [archetypes_named(pool.cards) for pool in (old, new)]
    return Changes(
        out=tuple(one for one in found if not one.after),
        into=tuple(one for one in found if not one.before),
        more=tuple(one for one in found if 0 < one.before < one.after),
        fewer=tuple(one for one in found if 0 < one.after < one.before),
        before=old.size,
        after=new.size,
        kept=sum(one.before == one.after for one in found),
        supports=tuple(_supports(had.values(), has.values())) if all(named) else (),
        alike=tuple(_alike(found)),
        few_name_archetypes=any(each is not None for each in named) and not all(named),
    )


def _held(pool: PoolTable) -> dict[str, PoolCard]:
    return {folded(card.card): card for card in pool.cards if card.copies}


def _alike(found: list[CardChange]) -> Iterator[tuple[str, str]]:
    """Pair new cards with cards gone of almost their name."""
    went = [one.card.card for one in found if not one.after]
    for one in found:
        if not one.before and (near := nearest(one.card.card, went)):
            yield near, one.card.card


def _supports(had: Iterable[PoolCard], has: Iterable[PoolCard]) -> list[Support]:
    old, new = _by_archetype(had), _by_archetype(has)
    names = {fold: name for cards in (old, new) for fold, (name, _) in cards.items()}
    return [_support(names[fold], old, new, fold) for fold in dict.fromkeys([*new, *old])]


Supporters = dict[str, tuple[str, list[PoolCard]]]


def _by_archetype(cards: Iterable[PoolCard]) -> Supporters:
    found: Supporters = {}
    for card in cards:
        for name in card.archetypes:
            found.setdefault(folded(name), (name, []))[1].append(card)
    return found


def _support(name: str, old: Supporters, new: Supporters, fold: str) -> Support:
    had, has = (side.get(fold, (name, []))[1] for side in (old, new))
    before, after = ({folded(card.card): card.card for card in side} for side in (had, has))
    roles: Counter[str] = Counter()
    for card in has:
        if card.role:
            roles[card.role] += card.copies
    return Support(
        archetype=name,
        before=sum(card.copies for card in had),
        after=sum(card.copies for card in has),
        new=tuple(after[each] for each in after if each not in before),
        gone=tuple(before[each] for each in before if each not in after),
        roles=tuple(roles.most_common()),
    )
