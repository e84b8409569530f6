"""Which column holds what."""

import random
import shlex

import pytest

from winrate_tools.columns import CARD_ROLES
from winrate_tools.errors import MappingError, SettingError
from winrate_tools.ingest.read import inspect_cards, read_cards
from winrate_tools.ingest.vocabulary import close_role, plain_role, role_of

FILES = 200
GOOD_ENOUGH = 0.95
BRIEF = "Card,Games,Wins\nAsh Vine,12,7\nTin Moth,9,4\n"


def roles(text: str, **options: object) -> dict[str, str]:
    return inspect_cards(text.encode(), **options).roles


def pasted(message: str) -> dict[str, str]:
    """Read the line to paste as a shell and the command line would."""
    words = shlex.split(message.splitlines()[-1])
    assert set(words[::2]) == {"--map"}
    return dict(word.split("=", 1) for word in words[1::2])


@pytest.mark.parametrize("name", CARD_ROLES)
def test_every_name_and_heading_of_the_glossary_is_understood(name: str):
    assert plain_role(name) == name
    assert plain_role(CARD_ROLES[name].heading) == name


@pytest.mark.parametrize(
    ("header", "role"),
    [
        ("Kartenname", "card"),
        ("# Games", "games"),
        ("WINS", "wins"),
        ("Win %", "win_rate"),
        ("Siege (%)", "win_rate"),
        ("victorias", "wins"),
        ("Name", "card"),
        ("Matches", "games"),
        ("Win_Rate", "win_rate"),
        ("Seltenheit", "rarity"),
        ("Games (unheld)", "unheld_games"),
        ("Opp Win %", None),
        ("Price", None),
        ("", None),
    ],
)
def test_plain_words_of_several_languages_are_understood(header: str, role: str | None):
    assert role_of(header) == role


@pytest.mark.parametrize(
    ("header", "role"),
    [("Win ratee", "win_rate"), ("Gamse", "games"), ("Archetpye", "archetype")]
    + [
        (header, None) for header in ("Opp Win %", "Not held games", "Lost games", "Price", "x")
    ],
)
def test_misspelt_words_are_understood_and_opposites_are_not(header: str, role: str | None):
    close = close_role(header)

    assert (close and close[0]) == role


def test_arithmetic_beats_headers_that_say_nothing_and_says_why():
    text = "a,b,c,d\n" + "".join(
        f"Card {n},{90 + n},{40 + n},{100 * (40 + n) / (90 + n):.1f}\n" for n in range(12)
    )
    seen = inspect_cards(text.encode())

    assert seen.roles == {"card": "a", "games": "b", "wins": "c", "win_rate": "d"}
    by_role = {one.role: one for one in seen.assignments}
    assert by_role["wins"].why == "12 of 12 rows: c / b = d to 0.1"
    assert by_role["card"].why == "text, 12 of 12 values differ"
    assert by_role["card"].samples == ("Card 0", "Card 1", "Card 2")
    assert by_role["games"].column == 2


def test_plain_headers_keep_arithmetic_from_taking_another_pair():
    rows = "".join(
        f"Card {n},{300 + n},{150 + n},{90 + n},{40 + n},{(40 + n) / (90 + n):.4f}\n"
        for n in range(9)
    )

    assert roles("Card,Games,Wins,Unheld games,Unheld wins,x\n" + rows) == {
        "card": "Card",
        "games": "Games",
        "wins": "Wins",
        "unheld_games": "Unheld games",
        "unheld_wins": "Unheld wins",
    }
    assert roles("Card,Games,Wins,Drafted,Played,x\n" + rows)["wins"] == "Wins"


def test_a_triple_of_columns_that_are_named_otherwise_proves_nothing():
    text = "Card,a,b,Unheld games,Unheld wins,x\n" + "".join(
        f"Card {n},{300 + n},{150 + n},{90 + n},{40 + n},{(40 + n) / (90 + n):.4f}\n"
        for n in range(9)
    )

    with pytest.raises(MappingError, match="cannot tell which column holds games and wins"):
        read_cards(text.encode())


def test_a_loose_header_settles_two_sets():
    rows = "".join(
        f"Card {n},{90 + n},{40 + n},{(40 + n) / (90 + n):.4f},"
        f"{70 + n},{50 + n},{(50 + n) / (70 + n):.4f}\n"
        for n in range(9)
    )

    assert roles("n,a,b,c,Matches,e,f\n" + rows)["games"] == "Matches"


def test_played_means_games_unless_copies_are_counted_beside_it():
    assert roles("Card,Played,Won\nA,12,7\nB,9,4\n")["games"] == "Played"
    seen = roles("Card,Games,Won,Drafted,Played\nA,12,7,5,4\nB,9,4,3,2\n")
    assert seen["played"] == "Played"


def test_all_optional_roles_are_found():
    header = ",".join(column.heading for column in CARD_ROLES.values())
    row = "Ash Vine,12,6,50%,Fair,new,Wick,common,charm,9,4,3.5,8,7,0.52"

    assert set(roles(f"{header}\n{row}\n")) == set(CARD_ROLES)


def test_the_user_comes_first():
    text = "Card,Games,Wins,Plays\nAsh Vine,12,7,20\nTin Moth,9,4,30\n"

    assert roles(text, columns={"games": "Plays"})["games"] == "Plays"
    assert roles(text, columns={"games": 4})["games"] == "Plays"
    assert roles(text, columns={"games": " plays "})["games"] == "Plays"


def test_number_zero_leaves_a_role_empty():
    text = "Card,Games,Wins,Win %\nAsh Vine,12,7,99\nTin Moth,9,4,44.4\n"

    assert "win_rate" not in roles(text, columns={"win_rate": 0})
    assert read_cards(text.encode(), columns={"win_rate": 0, "role": 0}).wins.tolist() == [7, 4]


@pytest.mark.parametrize(
    ("columns", "message"),
    [
        ({"games": 4}, "column 4 for games; there are 3 columns"),
        ({"games": -1}, "column -1 for games"),
        ({"games": "Wins", "wins": "Wins"}, "cannot be both games and wins"),
        ({"games": ""}, "no column ''"),
        ({"games": "x"}, "no column 'x'; columns: 1 'Card', 2 'Games', 3 'Wins'"),
    ],
)
def test_a_mapping_that_cannot_be_is_refused(columns, message):
    with pytest.raises(MappingError, match=message):
        read_cards(BRIEF.encode(), columns=columns)


def test_a_repeated_header_must_be_named_by_number():
    text = b"Card,Games,games,Wins\nAsh Vine,12,8,7\nTin Moth,9,8,4\n"

    assert read_cards(text, columns={"games": "games"}).games.tolist() == [8, 8]
    with pytest.raises(MappingError, match="columns 2 and 3; name one by its number") as caught:
        read_cards(text, columns={"games": "GAMES"})
    assert str(caught.value).endswith("--map games=2")


def test_a_likeness_needs_the_right_kind_of_column():
    seen = roles("Card,Games,Wins,Fraction\nAsh Vine,12,7,0.1\nTin Moth,9,4,0.2\n")

    assert "faction" not in seen


def test_two_misspelt_headers_of_one_role_are_asked_about():
    with pytest.raises(MappingError, match="2 columns could be games"):
        read_cards(b"Card,Gamess,Gamees,Wins\nAsh Vine,12,9,7\nTin Moth,9,9,4\n")


def test_what_the_user_names_is_kept_from_arithmetic():
    text = "a,b,c,d,e\n" + "".join(
        f"Card {n},{90 + n},{40 + n},{100 * (40 + n) / (90 + n):.1f},{9 + n}\n"
        for n in range(12)
    )

    assert roles(text, columns={"drafted": "b", "games": "c", "wins": "e"})["games"] == "c"


def test_an_unknown_role_gets_a_suggestion():
    with pytest.raises(SettingError, match="no role 'win', did you mean 'wins'"):
        read_cards(BRIEF.encode(), columns={"win": 3})


def test_a_misspelt_column_is_answered_with_a_line_that_works():
    with pytest.raises(MappingError) as caught:
        read_cards(BRIEF.encode(), columns={"games": "Gmaes"})

    assert read_cards(BRIEF.encode(), columns=pasted(str(caught.value))).games.tolist() == [
        12,
        9,
    ]


UNCLEAR = {
    "no words and no rate": 'Häufig,"b ""$""",c\nAsh,12,7\nTin,9,4\n',
    "a number for a header": "7,x,y\nAsh,12,7\nTin,9,4\n",
    "two columns of games": "Card,Games,Games,Wins\nAsh,12,13,7\nTin,9,9,4\n",
    "two columns of names": "x,y,Games,Wins\nAsh,a,12,7\nTin,b,9,4\n",
    "two columns of archetypes": "Card,Archetype,Archetypes,Games,Wins\nA,x,y,9,7\nB,z,w,9,4\n",
    "no name": "Games,Wins\n12,7\n9,4\n7,4\n8,1\n",
    "a rate and two counts": "Card,Win rate,a,b\nAsh,50%,12,14\nTin,50.0%,10,8\n",
    "two triples": "a,b,c,d,e,f,g\n"
    + "".join(
        f"Card {n},{90 + n},{40 + n},{(40 + n) / (90 + n):.4f},"
        f"{70 + n},{50 + n},{(50 + n) / (70 + n):.4f}\n"
        for n in range(9)
    ),
}


@pytest.mark.parametrize("kind", [kind for kind in UNCLEAR if kind != "no name"])
def test_an_unclear_file_is_answered_with_a_line_that_works(kind: str):
    data = UNCLEAR[kind].encode()
    with pytest.raises(MappingError) as caught:
        read_cards(data)
    table = read_cards(data, columns=pasted(str(caught.value)))

    assert len(table) >= 2
    assert caught.value.candidates


def test_a_header_that_a_shell_would_mangle_is_named_by_its_number():
    with pytest.raises(MappingError) as caught:
        read_cards(UNCLEAR["no words and no rate"].encode())

    assert str(caught.value).endswith('--map card="Häufig" --map wins="c" --map games=2')


def test_nothing_to_propose_still_lists_the_columns():
    with pytest.raises(MappingError, match=r"(?s)holds card.*1  Games: 12, 9, 7") as caught:
        read_cards(UNCLEAR["no name"].encode())

    assert str(caught.value).endswith("--map card=HEADER --map games=HEADER --map wins=HEADER")


def random_file(rng: random.Random) -> tuple[bytes, dict[str, int]]:
    """Write a table with meaningless headers; return it with the true column numbers."""
    rows = rng.choice([25, 60, 150, 400])
    comma, percent, places = rng.random() < 0.5, rng.random() < 0.7, rng.choice([1, 2])
    shape = (rng.uniform(20, 3000), rng.uniform(0.35, 0.6))
    columns: dict[str, list[str]] = {name: [] for name in ("card", "games", "wins", "win_rate")}
    decoys = rng.sample(["id", "drafted", "losses", "pick", "price", "rarity", "trend"], 4)
    columns |= {name: [] for name in decoys}
    for n in range(rows):
        games = max(1, int(rng.expovariate(1 / shape[0])))
        wins = sum(rng.random() < shape[1] for _ in range(min(games, 60))) * games // 60
        rate = f"{100 * wins / games:.{places}f} %" if percent else f"{wins / games:.4f}"
        made = {
            "card": f"{rng.choice('ABCDEF')}{rng.choice(['sh', 'in', 'ox'])} {n}",
            "games": str(games),
            "wins": str(wins),
            "win_rate": rate,
            "id": str(n + 1),
            "drafted": str(games // 3 + rng.randint(0, 20)),
            "losses": str(games - wins),
            "pick": f"{rng.uniform(1, 15):.2f}",
            "price": f"{rng.uniform(0, 9):.2f}",
            "rarity": rng.choice(["common", "uncommon", "rare"]),
            "trend": f"{rng.uniform(-0.1, 0.1):.3f}",
        }
        blank = rng.random() < 0.05
        for name, cells in columns.items():
            cells.append("" if blank and name != "card" else made[name])
    names = rng.sample(list(columns), len(columns))
    lines = [[f"H{k}" for k in range(len(names))]]
    lines += [[columns[name][n] for name in names] for n in range(rows)]
    text = "\n".join((";" if comma else ",").join(line) for line in lines)
    text = text.replace(".", ",") if comma else text
    return text.encode(), {name: k for k, name in enumerate(names, 1)}


def test_roles_are_right_in_95_of_100_files_with_meaningless_headers_and_never_wrong():
    right = wrong = 0
    for seed in range(FILES):
        data, truth = random_file(random.Random(seed))
        seen = inspect_cards(data)
        found = {one.role: one.column for one in seen.assignments}
        is_right = all(found.get(r) == truth[r] for r in ("card", "games", "wins", "win_rate"))
        right += is_right
        wrong += seen.unclear is None and not is_right

    assert right / FILES >= GOOD_ENOUGH
    assert wrong == 0
