"""A page of messy files, each with what it must be read as, or why it must be refused."""

import gzip
import io
import zipfile
from dataclasses import dataclass, field

UNKNOWN = None
PLAIN = (("Ash Vine", 1204, 602), ("Tin Moth", 90, 41), ("Wax Heron", 345, 181))


@dataclass(frozen=True)
class Messy:
    """A file and its expected reading: rows of (card, games, wins), and words of its notes."""

    name: str
    data: bytes
    rows: tuple[tuple[str, int | None, int | None], ...] = PLAIN
    notes: tuple[str, ...] = ()
    options: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class Refused:
    """A file and its expected refusal: kind of error, its words, places of its problems."""

    name: str
    data: bytes
    words: str
    places: tuple[str, ...] = ()
    kind: str = "TableError"
    options: dict[str, object] = field(default_factory=dict)


def table(*lines: str, end: str = "\n") -> bytes:
    return "".join(line + end for line in lines).encode()


def zipped(name: str) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr(name, "x")
    return file.getvalue()


COMMAS = ("Card,Games,Wins", "Ash Vine,1204,602", "Tin Moth,90,41", "Wax Heron,345,181")
SEMIS = tuple(line.replace(",", ";") for line in COMMAS)
TABS = tuple(line.replace(",", "\t") for line in COMMAS)
RATED = (
    "Karte;Spiele;Siege;Quote",
    "Ash Vine;1.204;602;50,0 %",
    "Tin Moth;90;41;45,6 %",
    "Wax Heron;345;181;52,5 %",
)

READ = (
    Messy("plain", table(*COMMAS)),
    Messy("crlf", table(*COMMAS, end="\r\n")),
    Messy("old line ends", table(*COMMAS, end="\r")),
    Messy("no last line end", table(*COMMAS)[:-1]),
    Messy("semicolons", table(*SEMIS)),
    Messy("tabs", table(*TABS)),
    Messy("bars", table(*(line.replace(",", "|") for line in COMMAS))),
    Messy("byte order mark, decimal comma", b"\xef\xbb\xbf" + table(*RATED)),
    Messy(
        "windows-1252",
        "Karte;Spiele;Siege\nKäfer;12;5\nTin Moth;90;41\n".encode("cp1252"),
        (("Käfer", 12, 5), ("Tin Moth", 90, 41)),
        ("line 2, byte 2 (0xE4) is not UTF-8: the file was read as Windows-1252",),
    ),
    Messy("utf-16 tabs", "".join(line + "\r\n" for line in TABS).encode("utf-16")),
    Messy("utf-16 big end", b"\xfe\xff" + table(*TABS).decode().encode("utf-16-be")),
    Messy("utf-32", table(*TABS).decode().encode("utf-32")),
    Messy(
        "title lines and a total row",
        table("Spring fair", "made on 3.4. from 412 decks", "", *COMMAS, "Total,1639,824"),
        notes=("the header is on line 4", "total left out", "line 8"),
    ),
    Messy(
        "title lines padded by a spreadsheet, blank rows at the end",
        table("Spring fair,,", ",,", *COMMAS, ",,", ",,"),
        notes=("the header is on line 3",),
    ),
    Messy(
        "german total row with decimal commas",
        table(*RATED, "Gesamt;1.639;824;50,3 %"),
        notes=("total left out",),
    ),
    Messy(
        "nameless total row",
        table(*COMMAS, ",1639,824"),
        notes=("total left out",),
    ),
    Messy(
        "grouping commas, quoted, blanks in many words",
        table("Card,Games,Wins", 'Ash Vine,"1,204",602', "Tin Moth,-,n/a", "Wax Heron,\u2014,"),
        (("Ash Vine", 1204, 602), ("Tin Moth", UNKNOWN, UNKNOWN), ("Wax Heron", None, None)),
        ("no cell settles the number style", "1,204 on line 2 was read as 1204"),
    ),
    Messy(
        "grouping points, nothing decides",
        table("Card;Games;Wins", "Ash Vine;1.204;602", "Tin Moth;90;41", "Wax Heron;345;181"),
        notes=("games 1.204 on line 2 was read as 1204",),
    ),
    Messy(
        "no-break spaces, thin spaces and apostrophes group",
        table(
            "Card;Games;Wins",
            "Ash Vine;1\u00a0204;602",
            "Tin Moth;1\u202f000\u202f090;41",
            "Wax Heron;1'345;1\u2019181",
        ),
        (("Ash Vine", 1204, 602), ("Tin Moth", 1000090, 41), ("Wax Heron", 1345, 1181)),
    ),
    Messy("sep line", table("sep=;", *SEMIS)),
    Messy(
        "sep line, comma in every name",
        table("sep=;", "Card;Games;Wins", "Vine, Ash;1204;602", "Moth, Tin;90;41"),
        (("Vine, Ash", 1204, 602), ("Moth, Tin", 90, 41)),
    ),
    Messy("one blank cell more on every row", table(COMMAS[0], *(x + "," for x in COMMAS[1:]))),
    Messy("one blank cell more everywhere", table(*(line + "," for line in COMMAS))),
    Messy(
        "quoted line ends before later rows",
        table("Card,Games,Wins", '"Ash\nVine",1204,602', "Tin Moth,90,41"),
        (("Ash Vine", 1204, 602), ("Tin Moth", 90, 41)),
        ("over several lines",),
    ),
    Messy(
        "quotes inside quotes, and delimiters",
        table("Card,Games,Wins", '"The ""Ash"" Vine, Old", 1204 , 602'),
        (('The "Ash" Vine, Old', 1204, 602),),
    ),
    Messy(
        "names that look like something else",
        table(
            "Card,Games,Wins",
            "None,1,1",
            "NA,2,1",
            "null,3,1",
            "NaN,4,1",
            "007,5,1",
            "1E5,6,1",
            "TRUE,7,1",
            "=X,8,1",
            "a|b,9,1",
            "<b>,10,1",
            "-,11,1",
            "1.5,12,1",
        ),
        tuple(
            (name, games, 1)
            for games, name in enumerate(
                (
                    "None",
                    "NA",
                    "null",
                    "NaN",
                    "007",
                    "1E5",
                    "TRUE",
                    "=X",
                    "a|b",
                    "<b>",
                    "-",
                    "1.5",
                ),
                1,
            )
        ),
    ),
    Messy(
        "names that are all numbers",
        table("Card,Games,Wins", "007,1204,602", "7,90,41", "1E5,345,181"),
        (("007", 1204, 602), ("7", 90, 41), ("1E5", 345, 181)),
    ),
    Messy(
        "whole numbers with a decimal part",
        table("Card,Games,Wins", "Ash Vine,1204.0,602.0", "Tin Moth,90.0,41.00"),
        PLAIN[:2],
    ),
    Messy(
        "full-width digits",
        table(
            "カード,試合,勝利",
            "Ash Vine,\uff11\uff12\uff10\uff14,\uff16\uff10\uff12",
            "B,90,41",
        ),
        (("Ash Vine", 1204, 602), ("B", 90, 41)),
    ),
    Messy(
        "meaningless headers, decoys, order",
        table(
            "H0,H1,H2,H3,H4",
            "50.0,x,1204,602,Ash Vine",
            "45.6,x,90,41,Tin Moth",
            "52.5,y,345,181,Wax Heron",
        ),
    ),
    Messy(
        "no header at all",
        table("Ash Vine,1204,602,50.0%", "Tin Moth,90,41,45.6%", "Wax Heron,345,181,52.5%"),
        notes=("no header line",),
    ),
    Messy(
        "repeated and blank headers, by number",
        table("Games,,Games", "1204,Ash Vine,602", "90,Tin Moth,41"),
        PLAIN[:2],
        ("stands over 2 columns", "blank header over column 2"),
        {"columns": {"games": 1, "wins": 3, "card": "2"}},
    ),
    Messy(
        "misspelt headers",
        table("Crad name;Gamess;Wns", "Ash Vine;1204;602", "Tin Moth;90;41"),
        PLAIN[:2],
    ),
    Messy(
        "wins and losses, no games",
        table("Name,Won,Lost", "Ash Vine,602,602", "Tin Moth,41,49"),
        PLAIN[:2],
        ("wins plus losses",),
    ),
    Messy(
        "a rate and games, no wins",
        table("Card,Win rate,Games", "Ash Vine,50.00%,1204", "Tin Moth,45.56%,90"),
        PLAIN[:2],
        ("wins were rebuilt as Win rate x games",),
    ),
    Messy(
        "fractions as rates, leading points",
        table("Card,Win rate,Games,Wins", "Ash Vine,.500,1204,602", "Tin Moth,.456,90,41"),
        PLAIN[:2],
    ),
    Messy(
        "zero games, and no games known",
        table(
            "Card,Games,Wins,Win %", "Ash Vine,0,0,", "Tin Moth,,,", "Wax Heron,345,181,52.5"
        ),
        (("Ash Vine", 0, 0), ("Tin Moth", None, None), ("Wax Heron", 345, 181)),
    ),
    Messy(
        "wins without games",
        table("Card,Games,Wins", "Ash Vine,,12", "Tin Moth,90,41"),
        (("Ash Vine", None, None), ("Tin Moth", 90, 41)),
        ("wins without games in 1 row (first on line 2)",),
    ),
    Messy("gzip", gzip.compress(table(*COMMAS))),
    Messy(
        "gzip in two parts",
        gzip.compress(table(*COMMAS[:2])) + gzip.compress(table(*COMMAS[2:])),
    ),
    Messy(
        "gzip of utf-16 with title",
        gzip.compress("".join(x + "\n" for x in ("Fair", *TABS)).encode("utf-16")),
        notes=("the header is on line 2",),
    ),
    Messy(
        "bad rows left out",
        table(*COMMAS[:2], "Bad,5,9", "Short,1", *COMMAS[2:]),
        notes=("left out: bad rows left out.csv:3:3: wins 9 is more than games 5", ":4"),
        options={"skip_bad": True},
    ),
    Messy(
        "duplicates added up",
        table("Card,Games,Wins", "Ash Vine,1200,600", " ash  vine ,4,2", "Tin Moth,90,41"),
        PLAIN[:2],
        ("line 3 was added to line 2",),
        {"sum_duplicates": True},
    ),
    Messy(
        "the user says which mark",
        table("Card;Games;Win rate;Wins", "Ash Vine;1,204;50.000;602", "Tin Moth;90;45.556;41"),
        PLAIN[:2],
        options={"decimal": "."},
    ),
    Messy(
        "a rate that is something else is not used",
        table("Card,Games,Wins,Rate", *(f"Card {n},100,{40 + n},{n}.5" for n in range(12))),
        tuple((f"Card {n}", 100, 40 + n) for n in range(12)),
        ("Rate is not wins / games in 11 of 11 rows",),
    ),
    Messy(
        "a small percentage that the counts prove",
        table("Card,Games,Wins,Win %", "Ash Vine,200,1,0.5", "Tin Moth,90,41,45.6"),
        (("Ash Vine", 200, 1), ("Tin Moth", 90, 41)),
    ),
    Messy(
        "title, sep line, old encoding, decimal comma and total at once",
        'sep=;\r\nFr\xfchling\r\n\r\nKarte;Spiele;Siege;Quote\r\n"Ash\r\nVine";1.204;602;'
        "50,0 %\r\nTin Moth;90;41;45,6 %\r\nSumme;1.294;643;49,7 %\r\n".encode("cp1252"),
        PLAIN[:2],
        ("Windows-1252", "the header is on line 4", "total left out", "line 8"),
    ),
)

REFUSED = (
    Refused("empty", b"", "the file is empty"),
    Refused("blank", b" \r\n\r\n", "the file is empty"),
    Refused("only a byte order mark", b"\xef\xbb\xbf", "the file is empty"),
    Refused("header only", table(COMMAS[0]), "a header on line 1 and no rows"),
    Refused("title and header only", table("Fair", "", COMMAS[0]), "no rows below it"),
    Refused("one column", table("Card", "Ash Vine", "Tin Moth"), "no two columns"),
    Refused("page", b"\n<!DOCTYPE html><html><table></table>", "this is a web page"),
    Refused("table of a page", b"<table><tr><td>Ash</td></tr></table>", "this is a web page"),
    Refused("zip", zipped("cards.csv"), "zip archive, not a table as text; unpack it"),
    Refused("spreadsheet", zipped("xl/workbook.xml"), "spreadsheet (xlsx), not text"),
    Refused("old spreadsheet", b"\xd0\xcf\x11\xe0\xa1\xb1", "an old spreadsheet"),
    Refused("document", b"%PDF-1.7 ...", "a PDF document"),
    Refused("json", b'[{"card": "Ash Vine"}]', "this is JSON"),
    Refused("damaged gzip", gzip.compress(table(*COMMAS))[:-12], "ends too early"),
    Refused("gzip with noise", gzip.compress(b"x" * 99)[:10] + b"\xff" * 40, "is damaged"),
    Refused("gzip of a page", gzip.compress(b"<html></html>"), "this is a web page"),
    Refused("damaged parquet", b"PAR1" + b"\0" * 40 + b"PAR1", "Parquet file is damaged"),
    Refused("zero bytes", b"Card,Games\nAsh\0Vine,3\n", "line 2 holds a zero byte"),
    Refused("utf-16 cut short", "a,b".encode("utf-16")[:-1], "starts as UTF-16 but byte"),
    Refused(
        "utf-8 with one broken byte",
        "Karte,Spiele\nKäfer,3\nMücke,4\n".encode() + b"\xff,5\n",
        "UTF-8 but for line 4, byte 1 (0xFF)",
    ),
    Refused("no known encoding", b"Card,Games\n\x81,5\n", "neither UTF-8 nor Windows-1252"),
    Refused(
        "ragged both ways",
        table(*COMMAS, "Short,3", "Long,1,204,602"),
        "2 problems",
        ("5:2", "6:4"),
    ),
    Refused(
        "a header narrower than its rows",
        table("Card,Games", *COMMAS[1:]),
        "the header has 2 cells, 3 rows have 3",
        ("1:2",),
    ),
    Refused(
        "wins and games and rate all wrong",
        table("Card,Games,Wins,Win %", "Ash Golem,50,55,110%", "Tin Moth,-3,1,"),
        "3 problems; first",
        ("2:3", "2:4", "3:2"),
    ),
    Refused(
        "no whole counts",
        table("Card,Games,Wins", "Ash Vine,12.5,6", "Tin Moth,9,4%", "Wax Heron,9,1e1"),
        "games must be a whole number, got 12.5",
        ("2:2", "3:3", "4:3"),
    ),
    Refused(
        "words and the infinite among counts",
        table(*COMMAS, "Owl,many,3", "Fox,inf,3", "Elk,3,1 of 3"),
        "a number was wanted, got 'many'",
        ("5:2", "6:2", "7:3"),
    ),
    Refused(
        "two number styles in one column",
        table("Card;Games;Wins;Win %", "A;1000;521;52,1", "B;500;261;52,2", "C;1000;531;53.1"),
        "a decimal comma as in the rest was wanted, got '53.1'",
        ("4:4",),
        options={"columns": {"win_rate": 4}},
    ),
    Refused(
        "a count that another column makes doubtful",
        table("Card;Games;Wins;Win %", "A;1.000;526;52.6", "B;900;450;50.0"),
        "games 1.000 could be 1 or 1000",
        ("2:2",),
    ),
    Refused(
        "fractions and percent in one column",
        table("Card,Win rate,Games", "A,0.55,100", "B,44.4,90", "C,61.2%,85"),
        "must be fractions or percent throughout, got 0.55 beside 44.4 on line 3",
        ("2:2",),
    ),
    Refused(
        "a rate column that could be thousands",
        table("Card;Games;Win rate", "Ash Vine;90;45.556", "Tin Moth;85;41.176"),
        "win rate 45.556 on line 2 could be 45.556 or 45556",
        kind="MappingError",
    ),
    Refused(
        "a rate that contradicts the counts",
        table("Card,Games,Wins,Win %", "A,200,100,50.0", "B,200,110,55.1", "C,200,90,45.0"),
        "win rate 55.1 contradicts wins / games = 55%",
        ("3:4",),
    ),
    Refused(
        "a rate that no wins can give",
        table("Card,Games,Win %", "Ash Vine,200,50.0", "Tin Moth,3,55.0"),
        "no whole number of wins out of 3 games gives a win rate of 55.0",
        ("3:3",),
    ),
    Refused(
        "the same card twice, in other letters",
        table(*COMMAS, " ash  VINE ,3,1"),
        "'Ash Vine' is listed twice, first on line 2",
        ("5:1",),
    ),
    Refused(
        "the same card twice, accents composed and not",
        table("Card,Games,Wins", "K\u00e4fer,3,1", "Ka\u0308fer,5,2"),
        "'K\u00e4fer' is listed twice",
        ("3:1",),
    ),
    Refused(
        "a total that does not add up",
        table(*COMMAS, "Total,1700,824"),
        "'Total' reads like a total, but its games are not the sum",
        ("5:1",),
    ),
    Refused("blank name", table(*COMMAS, ",3,1"), "got a blank cell", ("5:1",)),
    Refused("bell in a name", table(*COMMAS, "Be\all,3,1"), "character U+0007", ("5:1",)),
    Refused(
        "a quote that never closes",
        table(*COMMAS, '"Owl,3,1', "Elk,5,9"),
        "a quoted cell must end with a quote",
        ("5:1", "6:3"),
    ),
    Refused(
        "a quote that closes in a later row",
        table(COMMAS[0], '"Owl,3,1', "Elk,5,2", 'Fox",6,3', *COMMAS[1:]),
        "a card name holds whole lines",
        ("2:1",),
    ),
    Refused(
        "more copies played than drafted, more unheld wins than games",
        table(
            "Card,Games,Wins,Drafted,Played,Unheld games,Unheld wins,Mean pick,Player rate",
            "Ash Vine,9,4,5,6,3,4,0.5,100%",
        ),
        "4 problems",
        ("2:5", "2:7", "2:8", "2:9"),
    ),
    Refused(
        "places after quoted line ends and titles",
        table("Fair", "", "Card,Rarity,Games,Wins", '"A","x\ny",3,1', '"B\nC",z,"3",7'),
        "wins 7 is more than games 3 for 'B C'",
        ("7:4",),
    ),
    Refused(
        "two sets of wins and games",
        table(
            "H0,H1,H2,H3,H4,H5,H6",
            *(
                f"Card {n},{90 + n},{40 + n},{(40 + n) / (90 + n):.4f},"
                f"{70 + n},{50 + n},{(50 + n) / (70 + n):.4f}"
                for n in range(9)
            ),
        ),
        "2 sets of columns could be wins and games",
        kind="MappingError",
    ),
    Refused(
        "headers that say nothing and no rate",
        table("H0,H1,H2", "Ash Vine,1204,602", "Tin Moth,90,41"),
        "cannot tell which column holds games and wins",
        kind="MappingError",
    ),
    Refused(
        "no such header",
        table(*COMMAS),
        "no column 'Gmaes', did you mean 'Games'?",
        kind="MappingError",
        options={"columns": {"games": "Gmaes"}},
    ),
    Refused(
        "no such role",
        table(*COMMAS),
        "no role 'gmaes', did you mean 'games'?",
        kind="SettingError",
        options={"columns": {"gmaes": "Games"}},
    ),
    Refused(
        "no such decimal mark",
        table(*COMMAS),
        'decimal must be "." or ","',
        kind="SettingError",
        options={"decimal": ";"},
    ),
)
