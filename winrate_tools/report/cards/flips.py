"""On what a verdict hangs, in sentences."""

from winrate_tools.decide.cards.verdicts import CardVerdict, Flip, PoolVerdict
from winrate_tools.report import words

IF: dict[Flip, str] = {
    "without usage": "how drafters treat the cards were left out of account",
    "without odd cards": "no card were expected to lie far from cards used like it",
    "without the comparison": "held games were not compared with unheld ones",
}


def flips(card: CardVerdict, pool: PoolVerdict) -> str:
    """Say what would make or unmake a card's cut.

    Returns
    -------
    str
        A sentence for the allowance and one for all else; "" where nothing would.
    """
    change = "Would not be a cut" if card.verdict == "cut" else "Would be a cut"
    said = []
    if card.flips_at is not None:
        share, taken = words.plain(card.flips_at), words.plain(pool.allowance)
        only = "only " if card.flips_at < pool.allowance else ""
        said.append(f"{change} if {only}{share} of its record were its own (taken: {taken}).")
    if card.flips_if:
        said.append(f"{change} if {'; or if '.join(IF[one] for one in card.flips_if)}.")
    return " ".join(said)
