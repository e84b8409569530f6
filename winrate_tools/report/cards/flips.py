"""On what a verdict hangs, in sentences."""

from winrate_tools.decide.cards.verdicts import CardVerdict, Flip, PoolVerdict
from winrate_tools.report import words

IF: dict[Flip, str] = {
    "without usage": "how drafters treat the cards were left out of account",
    "without odd cards": "no card were expected to fall far from cards used like it",
    "without the comparison": "held games were not compared with unheld ones",
}


def flips(card: CardVerdict, pool: PoolVerdict) -> str:
    """Say what would make or unmake a card's cut.

    Parameters
    ----------
    card : CardVerdict
        The card.
    pool : PoolVerdict
        The pool that it was judged with.

    Returns
    -------
    str
        A sentence for the allowance and one for all else; "" where nothing would.
    """
    change = "No longer a cut" if card.verdict == "cut" else "A cut"
    said = []
    if card.flips_at is not None:
        taken = words.plain(pool.allowance)
        said.append(
            f"{change} at an allowance of {words.plain(card.flips_at)} (taken: {taken})."
        )
    if card.flips_if:
        said.append(f"{change} if {'; or if '.join(IF[one] for one in card.flips_if)}.")
    return " ".join(said)
