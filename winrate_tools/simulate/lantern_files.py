"""The files of the demo, as text: what a table of Lantern Fair players would have on disk."""

import csv
import io
from collections.abc import Iterable, Sequence

import numpy as np

from winrate_tools.columns import CARD_ROLES
from winrate_tools.simulate.history import card_table
from winrate_tools.simulate.lantern_candidates import candidate_rows, candidate_truth
from winrate_tools.simulate.lantern_home import MENDED, PLAYERS, home_rows
from winrate_tools.simulate.lantern_log import lantern_log
from winrate_tools.simulate.lantern_stories import NEWCOMER_TRAPS
from winrate_tools.simulate.lantern_world import FAILING, TOO_STRONG, WORLD, Fair
from winrate_tools.tables import Numbers

PRICES = {"common": 0.4, "uncommon": 0.9, "rare": 2.5, "lantern": 4.0}
COPIES = {rarity.name: rarity.copies for rarity in WORLD.rarities}
CARD_COLUMNS = (
    *("card", "faction", "rarity", "role", "games", "wins", "win_rate"),
    *("mean_pick", "drafted", "played"),
)
PROTECTED = 6
"""How many cards the table would never part with: the last lanterns of the pool."""

SKILLS = ", ".join(f"{name} {skill:+.2f}" for name, skill in PLAYERS.items())

README = f"""# Lantern Fair

An invented game, drafted and played by a computer, so that the truth is known. Six trades of a
night market make nine archetypes; {TOO_STRONG} is too strong, {FAILING} is
failing, some cards are traps and some lie in nobody's deck. A few cards are weak in the hands
of new players only, a few are good in one archetype only, and a few look good only because
experts play them.

- `cards.csv`: one row a card: games in which the card was held, wins, and how it was drafted.
  A copy counts on its own, so two copies in hand count twice.
- `cards_by_archetype.csv`: the same games by archetype and skill band, with the games in which
  the card stayed in the deck.
- `archetypes.csv`: games and wins of whole decks.
- `pool.csv`: the pool of cards, with copies and prices.
- `candidates.csv`: cards that might come in, with a record from another market and the win
  rate of an average card there, or with a guess. A few are for {FAILING} alone.
- `games.csv`: a log of some more drafts, game by game.
- `home.csv`: matches of the home table, five friends on ten nights, after their pool was
  rebuilt to help {FAILING}, which is now {-MENDED} below the average archetype in
  log-odds. The friends' true skill, likewise against their average:
  {SKILLS}.
- `market_export.csv`: `cards.csv` as a spreadsheet from abroad would save it.
- `truth.csv`: the answer. Each card's own effect in points, in hands of the sample's mean skill
  and over the archetypes that play it; whether it is a trap or unplayed; whether it is a
  newcomer trap, weak in the hands of new players and fine with experts, or narrow, good in one
  of its archetypes and weak in the others; and whether its record alone would mislead: `up`
  for a weak card that looks fine, `down` for a fine card that looks weak.
- `truth_candidates.csv`: the candidates' own effects in points.

`winrate-tools demo` plays the fair and writes all of this, the same to the byte each time.
`winrate-tools check FILE` says of any of these tables what it is, what it can tell, and which
command it is for. The cut reports that come of them stand in `reports/`, beside this folder.
"""


def demo_files(fair: Fair) -> dict[str, bytes]:
    """Make the content of every file of the demo.

    Parameters
    ----------
    fair : Fair
        The fair, played.

    Returns
    -------
    dict of str to bytes
        File name to content, in the order of the README.

    Examples
    --------
    >>> from winrate_tools.simulate.lantern_world import lantern_fair
    >>> files = demo_files(lantern_fair())
    >>> files["archetypes.csv"].decode().splitlines()[0]
    'archetype,skill_band,factions,games,wins'
    """
    return {
        "README.md": README.encode(),
        "cards.csv": _csv(_cards(fair)).encode(),
        "cards_by_archetype.csv": _csv(_cards_by_archetype(fair)).encode(),
        "archetypes.csv": _csv(_archetypes(fair)).encode(),
        "pool.csv": _csv(_pool(fair)).encode(),
        "candidates.csv": _csv(candidate_rows(PRICES, COPIES)).encode(),
        "home.csv": _csv(home_rows(fair)).encode(),
        "games.csv": lantern_log(fair).encode(),
        "market_export.csv": _market_export(fair).encode("cp1252"),
        "truth.csv": _csv(_truth(fair)).encode(),
        "truth_candidates.csv": _csv(candidate_truth(fair)).encode(),
    }


def _csv(rows: Iterable[Sequence[object]], delimiter: str = ",") -> str:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator="\n").writerows(rows)
    return text.getvalue()


def _cards(fair: Fair) -> list[Sequence[object]]:
    table = card_table(fair.simulation)
    rates = (f"{100 * rate:.1f}%" for rate in table.wins / table.games)
    picks = (f"{pick:.2f}" for pick in _known(table.mean_pick))
    counts = (table.games, table.wins, table.drafted, table.played)
    games, wins, drafted, played = (_whole(count) for count in counts)
    labels = (table.card, table.faction or (), table.rarity or (), fair.role)
    columns = (*labels, games, wins, rates, picks, drafted, played)
    return [_headings(*CARD_COLUMNS), *zip(*columns, strict=True)]


def _cards_by_archetype(fair: Fair) -> list[Sequence[object]]:
    detail = ("archetype", "skill_band")
    table = card_table(fair.simulation, detail=detail, unheld=True)
    names = (
        *("card", "faction", "rarity", *detail, "games", "wins", "unheld_games"),
        *("unheld_wins", "mean_pick", "drafted", "played"),
    )
    games, drafts = ("games", "wins", "unheld_games", "unheld_wins"), ("drafted", "played")
    picks = (f"{pick:.2f}" for pick in _known(table.mean_pick))
    columns = (
        *(getattr(table, name) for name in ("card", "faction", "rarity", *detail)),
        *(_whole(getattr(table, name)) for name in games),
        picks,
        *(_whole(getattr(table, name)) for name in drafts),
    )
    return [_headings(*names), *zip(*columns, strict=True)]


def _archetypes(fair: Fair) -> list[Sequence[object]]:
    play = fair.simulation.play
    rows: list[Sequence[object]] = [("archetype", "skill_band", "factions", "games", "wins")]
    for k, archetype in enumerate(WORLD.archetypes):
        factions = "-".join(WORLD.factions[place] for place in archetype.factions)
        for b, band in enumerate(WORLD.bands):
            rows.append((archetype.name, band, factions, play.games[k, b], play.wins[k, b]))
    return rows


def _pool(fair: Fair) -> list[Sequence[object]]:
    heading = (
        *("card", "copies", "faction", "rarity", "role"),
        *("price", "protected", "slot", "archetypes"),
    )
    return [heading, *(_pool_row(fair, i) for i in range(WORLD.cards))]


def _pool_row(fair: Fair, i: int) -> Sequence[object]:
    truth, rarity = fair.simulation.truth, WORLD.rarities[WORLD.rarity[i]]
    price = PRICES[rarity.name] * (1 + (7 * i % 11) / 10)
    fits = np.flatnonzero(WORLD.fits[:, truth.home[i]])
    return (
        truth.card[i],
        rarity.copies,
        WORLD.homes[truth.home[i]],
        rarity.name,
        fair.role[i],
        f"{price:.2f}",
        "yes" if rarity.special and i >= WORLD.cards - PROTECTED else "no",
        "lantern" if rarity.special else "main",
        "; ".join(WORLD.archetypes[k].name for k in fits),
    )


def _market_export(fair: Fair) -> str:
    """Give `cards.csv` titles, a row of sums and the numbers of another country."""
    cards = _cards(fair)[1:]
    games, wins, drafted, played = (
        sum(int(str(row[place])) for row in cards) for place in (4, 5, 8, 9)
    )
    total = ("Summe", "", "", "", games, wins, f"{100 * wins / games:.1f}%", "")
    heading = (
        "Karte;Fraktion;Seltenheit;Rolle;Spiele;Siege;Siegquote;"
        "Mittlerer Pick;Gedraftete Kopien;Gespielte Kopien"
    )
    body = [_abroad(row) for row in (*cards, (*total, drafted, played))]
    title = "Nachtmarkt \u2013 Auswertung aller \u00dcbungsrunden"
    note = "Karten, die im Spiel auf der Hand waren; je Exemplar gez\u00e4hlt"
    return f'{title}\n"{note}"\n{heading}\n{_csv(body, ";")}'


def _abroad(row: Sequence[object]) -> list[str]:
    """Write a row's numbers with thousands points, decimal commas and a spaced percent sign."""
    labels, (games, wins, rate, pick, drafted, played) = row[:4], row[4:]
    return [
        *(str(label) for label in labels),
        _thousands(games),
        _thousands(wins),
        str(rate).replace(".", ",").replace("%", " %"),
        str(pick).replace(".", ","),
        _thousands(drafted),
        _thousands(played),
    ]


def _truth(fair: Fair) -> list[Sequence[object]]:
    truth = fair.simulation.truth
    carried = np.where(fair.carried_up, "up", np.where(fair.carried_down, "down", ""))
    points = (f"{value:+.2f}" for value in fair.points)
    newcomer_trap = [card in NEWCOMER_TRAPS for card in truth.card]
    odd = (truth.is_trap, truth.is_unplayed, newcomer_trap, truth.is_narrow)
    flags = (["yes" if flag else "no" for flag in column] for column in odd)
    heading = (
        *("card", "own_effect_points", "is_trap", "is_unplayed"),
        *("newcomer_trap", "narrow", "carried"),
    )
    return [heading, *zip(truth.card, points, *flags, carried, strict=True)]


def _thousands(count: object) -> str:
    return f"{int(str(count)):,}".replace(",", ".")


def _whole(counts: Numbers | None) -> list[int]:
    return [int(count) for count in _known(counts)]


def _known(column: Numbers | None) -> Numbers:
    """Hand on a column that the fair's tables are sure to have."""
    return np.empty(0) if column is None else column


def _headings(*names: str) -> Sequence[object]:
    """Check headings against the glossary, so that the demo speaks the tools' words."""
    return [CARD_ROLES[name].name for name in names]
