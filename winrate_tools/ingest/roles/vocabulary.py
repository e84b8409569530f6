"""Plain words that headers use for each role, in several languages."""

import difflib
import re
import unicodedata

PLAIN = {
    "card": (
        "card, cards, card name, name of card, karte, kartenname, carte, "
        "nom de la carte, carta, nombre de la carta, kaart, karta, kort, カード"
    ),
    "games": (
        "games, game count, number of games, games played, total games, spiele, "
        "anzahl spiele, partien, parties, partidas, partite, jogos, partijen, partie, "
        "matcher, 試合"
    ),
    "wins": (
        "wins, won, games won, win count, number of wins, total wins, siege, gewonnen, "
        "victoires, gagnées, victorias, ganadas, vittorie, vinte, vitórias, overwinningen, "
        "zwycięstwa, wygrane, vinster, 勝利, gesiegt"
    ),
    "losses": (
        "losses, lost, games lost, number of losses, niederlagen, verloren, défaites, "
        "perdues, derrotas, perdidas, sconfitte, porażki, förluster"
    ),
    "win_rate": (
        "win rate, winrate, win %, wins %, % wins, % won, won %, win percentage, win percent, "
        "win pct, percent won, winning percentage, share won, siegquote, siegrate, "
        "gewinnquote, gewinnrate, siege %, taux de victoire, % victoires, porcentaje de "
        "victorias, % victorias, percentuale vittorie, % vittorie, taxa de vitória, % "
        "vitórias, 勝率, erfolgsquote, erfolgsrate"
    ),
    "archetype": (
        "archetype, archetypes, archetyp, archétype, arquetipo, archetipo, arquétipo, deck "
        "type, deck archetype, decktyp, bauweise, bauart, deckart, deckarten, type de deck, "
        "tipo de mazo, tipo di mazzo"
    ),
    "skill_band": (
        "skill band, skill, skill group, skill level, player group, players, spielergruppe, "
        "spielstärke, niveau, nivel, könnensstufe, leistungsstufe, niveau de jeu, niveau des "
        "joueurs, nivel de juego, livello, livello di gioco"
    ),
    "faction": (
        "faction, factions, fraktion, faccion, facción, fazione, facção, fraktionen, "
        "facciones, fazioni"
    ),
    "rarity": (
        "rarity, seltenheit, rareté, rareza, rarità, raridade, rariteit, seltenheitsgrad, "
        "degré de rareté, grado de rareza, grado di rarità"
    ),
    "role": "role, card role, rolle, rôle, rol, ruolo, purpose",
    "unheld_games": (
        "unheld games, games unheld, games not held, never held games, games never held"
    ),
    "unheld_wins": (
        "unheld wins, wins unheld, wins not held, never held wins, wins never held"
    ),
    "mean_pick": (
        "mean pick, average pick, mean pick number, average pick number, "
        "mean place picked, pick mean, mittlerer pick, pick moyen, pick medio"
    ),
    "drafted": ("drafted, copies drafted, times drafted, number drafted, gedraftete kopien"),
    "played": ("played, copies played, drafted and played, made the deck, gespielte kopien"),
    "player_rate": (
        "player rate, players rate, player win rate, players win rate, "
        "usual player rate, usual win rate of players"
    ),
    "copies": (
        "copies, copy count, number of copies, most copies, quantity, qty, anzahl, exemplare, "
        "kopien, exemplaires, nombre d'exemplaires, copias, ejemplares, copie, cópias, aantal, "
        "exemplaren, antal, exemplar, 枚数"
    ),
    "price": (
        "price, unit price, price per copy, price each, preis, stückpreis, prix, "
        "prix unitaire, precio, prezzo, preço, prijs, cena, pris, 価格"
    ),
    "protected": (
        "protected, is protected, never cut, locked, geschützt, protégée, protégé, protegida, "
        "protegido, protetta, protetto, beschermd, chroniona, skyddad, schützen, schutz, nie "
        "streichen, protéger, proteger, proteggere"
    ),
    "slot": "slot, pack slot, special slot, platz, emplacement, ranura, espacio, plek",
    "baseline": (
        "baseline, base line, win rate of an average card, siegquote einer durchschnittskarte, "
        "taux d'une carte moyenne"
    ),
    "guess": (
        "guess, own guess, guessed strength, schätzung, vermutung, estimation, "
        "estimación, stima, estimativa, schatting"
    ),
    "spread": "spread, guess spread, spread of the guess, streuung, écart, dispersión",
    "player": (
        "player, player name, spieler, spielerin, joueur, joueuse, jugador, jugadora, "
        "giocatore, giocatrice, jogador, jogadora, speler, gracz, spelare, プレイヤー"
    ),
    "opponent": (
        "opponent, opponent name, against, versus, vs, gegner, gegnerin, adversaire, oponente, "
        "rival, adversario, avversario, adversário, tegenstander, przeciwnik, "
        "motståndare, 対戦相手"
    ),
    "score": "score, result, match score, ergebnis, résultat, resultado, risultato, uitslag",
    "draws": (
        "draws, drawn, games drawn, drawn games, ties, tied, unentschieden, nuls, "
        "matchs nuls, empates, pareggi, gelijk, remisy, oavgjorda"
    ),
    "opponent_archetype": (
        "opponent archetype, opponents archetype, opponent deck, opponents deck, archetype of "
        "opponent, archetype of the opponent, gegnerischer archetyp, archétype adverse, "
        "arquetipo rival, deck des gegners, gegnerdeck, gegnerisches deck, bauweise des "
        "gegners, archetyp des gegners, deck adverse, deck de l'adversaire, mazo rival, mazo "
        "del oponente, mazzo avversario, mazzo dell'avversario"
    ),
    "date": "date, day, match date, played on, datum, tag, jour, fecha, giorno, día, dia, 日付",
    "day_first_date": "date dd mm yyyy, date d m y, datum tt mm jjjj, date jj mm aaaa",
    "month_first_date": "date mm dd yyyy, date m d y",
    "first_seat": (
        "first seat, had first seat, went first, played first, startspieler, anspiel, premier "
        "joueur, empezó, angefangen, begonnen, hat angefangen, hat begonnen, a commencé, ha "
        "empezado, comenzó, ha iniziato, ha cominciato"
    ),
}
LOOSE = {
    "card": (
        "name, item, title, nom, nombre, nome, naam, nazwa, namn, 名前, bezeichnung, titel"
    ),
    "games": (
        "matches, plays, played, held games, games held, deck games, opening games, matchs, "
        "jeux, juegos, spellen, gry, spel, runden, auf der hand"
    ),
    "wins": (
        "held wins, wins held, deck wins, opening wins, victories, matches won, erfolge, "
        "davon gewonnen, davon gesiegt"
    ),
    "win_rate": "rate, held win rate, deck win rate, opening win rate, quote",
    "archetype": "deck, theme, themes, mazo, mazzo",
    "copies": (
        "count, number, amount, available, höchstens, höchstzahl, at most, maximum, au plus, "
        "como máximo, al massimo"
    ),
    "losses": "matches lost",
    "faction": "bund, bünde",
    "rarity": "häufigkeit, fréquence, frecuencia, frequenza",
}
"""Words that count only where no plain one stands."""

CLOSE_ENOUGH = 0.75
"""Cutoff of the similarity ratio: on a list of 22 misspelt headers, 19 right and none wrong."""
BY_LIKENESS = (
    *("card", "games", "wins", "win_rate", "losses", "archetype", "rarity", "faction"),
    *("copies", "price", "baseline", "guess", "player", "opponent"),
)
_OTHERWISE = frozenset(
    {"un", "unheld", "not", "non", "no", "never", "without", "other", "opp", "opponent"}
    | {"opponents", "lost", "loss", "expected", "home", "last", "old", "new", "rank", "per"}
)


def normalise(header: str) -> str:
    """Make headers that read alike equal.

    Examples
    --------
    >>> normalise("  Win_Rate (%)"), normalise("Win%")
    ('win rate %', 'win %')
    """
    text = unicodedata.normalize("NFKC", header).casefold().replace("%", " % ")
    text = re.sub(r"['\u2019]s\b", "s", text)
    return " ".join(re.sub(r"[^\w%]|_", " ", text).split())


def _index(words: dict[str, str]) -> dict[str, str]:
    return {
        normalise(word): role for role, names in words.items() for word in names.split(", ")
    }


_PLAIN, _LOOSE = _index(PLAIN), _index(LOOSE)
_RATES = {f"{word} %": role for word, role in _PLAIN.items() if role.endswith("rate")}


def role_of(header: str) -> str | None:
    """Return the role that a header names, by a plain word first and a loose one second."""
    return plain_role(header) or loose_role(header)


def plain_role(header: str) -> str | None:
    """Return the role that a header names by a plain word."""
    word = normalise(header)
    return _PLAIN.get(word) or _RATES.get(word)


def loose_role(header: str) -> str | None:
    """Return the role that a header may mean where no plain word stands."""
    return _LOOSE.get(normalise(header))


def close_role(header: str) -> tuple[str, str] | None:
    """Return the role whose word is much like a header, and that word.

    Examples
    --------
    >>> close_role("Win ratee")
    ('win_rate', 'win rate')
    >>> close_role("Opp Win %")
    """
    word = normalise(header)
    if _OTHERWISE & set(word.split()):
        return None
    words = [known for known, role in _PLAIN.items() if role in BY_LIKENESS]
    close = difflib.get_close_matches(word, words, n=1, cutoff=CLOSE_ENOUGH)
    return (_PLAIN[close[0]], close[0]) if close else None
