"""What is printed of packs and of what a table sees in them."""

from collections.abc import Sequence

from winrate_tools.decide.packs.exposure import CopyChances, PacksSeen, SlotDealt
from winrate_tools.decide.packs.pack_groups import GroupDealt
from winrate_tools.decide.packs.packs import SURELY
from winrate_tools.report import words

CERTAIN = 1e-12
MOST_NAMED = 8


def dealt_sentence(seen: PacksSeen) -> str:
    """Say how much of the pool a draft brings to the table."""
    needed = sum(slot.needed for slot in seen.slots)
    copies = sum(slot.copies for slot in seen.slots)
    said = (
        f"{words.plural(seen.draft.seats, 'seat')} open {_packs(seen)} each: "
        f"{needed:,} of the pool's {copies:,} cards are dealt ({words.share(needed / copies)})."
    )
    if seen.different is None:
        return said
    mean, low, high = seen.different
    cards = words.plural(sum(slot.cards for slot in seen.slots), "different card")
    return f"{said} Of its {cards} about {mean:.0f} turn up ({_drafts(low, high)})."


def served_sentence(seen: PacksSeen) -> str:
    """Say for how large a table the pool would do."""
    seats, packs = words.plural(seen.most_seats, "seat"), words.plural(seen.most_packs, "pack")
    return (
        f"The pool is large enough: with {words.plural(seen.draft.packs, 'pack')} each it "
        f"serves up to {seats}, and {seen.draft.seats} seats could open up to {packs} each."
    )


def passing_sentence(seen: PacksSeen) -> str:
    """Say how many cards one seat gets to look at."""
    cards = words.plural(seen.passing, "card")
    total = f"{seen.draft.packs * seen.passing:,}"
    return (
        f"One seat looks at {cards} a round as the packs pass, each counted once, and at "
        f"{total} in the whole draft; it takes {seen.draft.packs * seen.draft.size:,} of them."
    )


def short_sentence(seen: PacksSeen) -> str:
    """Say what a pool lacks."""
    lacks = [
        f"the slot {slot.slot} takes {words.plural(slot.needed, 'card')} and the pool has "
        f"{slot.copies:,}"
        for slot in seen.slots
        if slot.needed > slot.copies
    ]
    table = f"{words.plural(seen.draft.seats, 'seat')} with {_packs(seen)} each"
    return f"The pool is too small for {table}: {'; '.join(lacks)}."


def instead_sentence(seen: PacksSeen) -> str:
    """Say what a pool that is too small does serve."""
    served = []
    if seen.most_seats >= 2:
        packs = words.plural(seen.draft.packs, "pack")
        served.append(f"{seen.most_seats:,} seats with {packs} each")
    if seen.most_packs >= 1:
        packs = words.plural(seen.most_packs, "pack")
        served.append(f"{seen.draft.seats:,} seats with {packs} each")
    does = (
        f"It serves {' or '.join(served)}." if served else "It serves no table of such packs."
    )
    return f"{does} Smaller packs or more cards would do as well."


def absent_sentence(seen: PacksSeen) -> str:
    """Name the cards that have no copies."""
    names = seen.absent[:MOST_NAMED]
    left = len(seen.absent) - len(names)
    more = f" and {left:,} more" if left else ""
    return f"Without copies, and so never dealt: {', '.join(names)}{more}."


def copies_sentence(slots: Sequence[SlotDealt]) -> str:
    """Say what the first copies of a card are worth."""
    slot = next(slot for slot in slots if slot.steps)
    if slot.steps[0].dealt > 1 - CERTAIN:
        return f"Every copy{_where(slot, slots)} is dealt, since the packs take all of them."
    said = [
        f"{chance(step)} with {words.plural(step.copies, 'copy', 'copies')}"
        for step in slot.steps[:3]
    ]
    less = " Every further copy adds less." if len(said) > 1 else ""
    where = _where(slot, slots)
    return f"A card's chance of being dealt{where}: {', '.join(said)}.{less}"


def _where(slot: SlotDealt, slots: Sequence[SlotDealt]) -> str:
    """Name a slot where there are several."""
    return f" in the slot {slot.slot}" if len(slots) > 1 else ""


def groups_sentence(groups: Sequence[GroupDealt]) -> str:
    """Name the groups of one kind that come most and least."""
    most, least = groups[0], [group for group in groups if group.name is not None][-1]
    said = f"Most of all {group_name(most)}: {_deal(most)}."
    if least is not most:
        said += f" Least of all {group_name(least)}: {_deal(least)}."
    if most.kind == "archetype":
        said += " A card counts for every archetype that it supports."
    return said


FEW_NAMED = (
    "Fewer than half of the copies name an archetype, so cards are not counted by archetype. "
    "To have them counted, name the archetypes of every card in the column archetypes of the "
    "pool."
)


def counted_on_sentence(slots: Sequence[SlotDealt]) -> str:
    """Say how many copies make a card a regular guest."""
    dealt = [slot for slot in slots if slot.needed]
    takes = [f"{_counted_on(slot)}{_where(slot, slots)}" for slot in dealt]
    return f"a chance of {words.cut_bar(SURELY)} of being dealt takes {'; '.join(takes)}."


def _counted_on(slot: SlotDealt) -> str:
    if slot.counted_on is None:
        return "more copies than there can be"
    return words.plural(slot.counted_on, "copy", "copies")


def thin_sentence(seen: PacksSeen) -> str:
    """Name the groups that may not come once for every seat."""
    thin = [
        f"{group_name(group)} ({low_to_high(group.dealt.low, group.dealt.high)})"
        for group in sorted(seen.groups, key=lambda group: group.dealt.mean)
        if group.name is not None and group.dealt.low < seen.draft.seats and group.dealt.high
    ]
    if not thin:
        return (
            f"of every group above, 9 in 10 drafts deal {seen.draft.seats} cards or more, one "
            "for each seat."
        )
    rest = f" and {len(thin) - MOST_NAMED} more" if len(thin) > MOST_NAMED else ""
    return (
        f"these may come to fewer cards than there are seats, by the range that 8 in 10 drafts "
        f"keep to: {', '.join(thin[:MOST_NAMED])}{rest}."
    )


def room_sentence(seen: PacksSeen) -> str:
    """Say what another seat would take."""
    cards = words.plural(seen.draft.packs * seen.draft.size, "card")
    more = seen.most_seats - seen.draft.seats
    room = (
        f"there is room for {words.plural(more, 'more seat')}" if more else "there is no room"
    )
    return f"one more seat deals {cards} more, and {room}."


def group_name(group: GroupDealt) -> str:
    """Name a group, even that of the cards without a label."""
    return f"no {group.kind}" if group.name is None else group.name


def chance(of: CopyChances | None) -> str:
    """Print the chance of being dealt, or that there is no such number of copies."""
    return "" if of is None else sure_in_twenty(of.dealt)


def sure_in_twenty(number: float) -> str:
    """Print a chance that is known exactly, and so may be none or all.

    It is never rounded over the chance at which a card can be counted on.

    Examples
    --------
    >>> sure_in_twenty(0.0), sure_in_twenty(0.42), sure_in_twenty(0.89), sure_in_twenty(1.0)
    ('never', '8 in 20', '17 in 20', 'always')
    """
    if number < CERTAIN:
        return "never"
    if number > 1 - CERTAIN:
        return "always"
    return words.of_twenty(words.to_bar(number, SURELY, reached=number >= SURELY))


def by_how_early(of: CopyChances) -> str:
    """Print the chance to see a card, from one that goes at sight to one that goes late.

    Examples
    --------
    >>> by_how_early(CopyChances(1, 0.42, 0.084, 0.36, 0.42))
    '2 to 8 in 20'
    >>> by_how_early(CopyChances(3, 1.0, 0.25, 0.9, 1.0))
    '5 in 20 to always'
    """
    low, high = sure_in_twenty(of.seen_low), sure_in_twenty(of.seen_high)
    if low == high:
        return low
    return f"{low.removesuffix(' in 20') if high.endswith(' in 20') else low} to {high}"


def added(gain: float) -> str:
    """Print what a copy adds to a chance; the first adds what it is dealt with.

    Examples
    --------
    >>> added(0.244), added(0.0001), added(0.0), added(1.0)
    ('5 in 20', 'under 1 in 20', 'nothing', '20 in 20')
    """
    if gain < CERTAIN:
        return "nothing"
    return "20 in 20" if gain > 1 - CERTAIN else sure_in_twenty(gain)


def mean(number: float) -> str:
    """Print an expected number of cards.

    Examples
    --------
    >>> mean(47.689), mean(15.0), mean(0.01)
    ('47.7', '15.0', 'under 0.1')
    """
    return "under 0.1" if 0 < number < 0.05 else f"{number:.1f}"


def low_to_high(low: int, high: int) -> str:
    """Print a range of counts.

    Examples
    --------
    >>> low_to_high(3, 8), low_to_high(15, 15)
    ('3 to 8', '15')
    """
    return f"{low:,}" if low == high else f"{low:,} to {high:,}"


def for_each(group: GroupDealt, seats: int) -> str:
    """Print the same range for each seat."""
    low, high = (words.plain(end / seats, 1) for end in (group.dealt.low, group.dealt.high))
    return low if low == high else f"{low} to {high}"


def left_over(slot: SlotDealt) -> str:
    """Print what stays in the box, or what is missing."""
    left = slot.copies - slot.needed
    return f"{left:,}" if left >= 0 else f"{-left:,} too few"


def _packs(seen: PacksSeen) -> str:
    return f"{words.plural(seen.draft.packs, 'pack')} of {seen.draft.size}"


def _drafts(low: int, high: int) -> str:
    return f"8 in 10 drafts: {low_to_high(low, high)}"


def _deal(group: GroupDealt) -> str:
    mean, low, high = group.dealt
    cards = "card" if high == 1 else "cards"
    if low == high and abs(mean - low) < CERTAIN:
        return f"every draft deals {low:,} {cards}"
    return f"8 in 10 drafts deal {low_to_high(low, high)} {cards}"
