"""Which column holds what."""

import random

import pytest

from winrate_tools.columns import CARD_ROLES
from winrate_tools.errors import MappingError
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards

FILES = 200
GOOD_ENOUGH = 0.95
BRIEF = "Card,Games,Wins\nAsh Vine,12,7\nTin Moth,9,4\n"


def roles(text: str, **options: object) -> dict[str, str]:
    return inspect_cards(text.encode(), **options).roles


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


def test_a_loose_word_for_a_label_names_no_column_of_numbers():
    text = "Karte,Häufigkeit,Spiele,Siege\nAsh,{},9,4\nElk,{},8,3\n"

    assert "rarity" in inspect_cards(text.format("selten", "oft").encode()).roles
    assert "rarity" not in inspect_cards(text.format(12, 7).encode()).roles


LOG = "game,archetype,won,card\n1,x,1,Fox\n1,x,1,Moth\n2,y,0,Fox\n3,x,1,Elk\n"


@pytest.mark.parametrize(
    "text", [LOG, LOG.replace("1,Fox", "yes,Fox"), "Game,Won,Cards\n1,1,A|B\n"]
)
def test_a_log_is_no_table_of_cards_whose_games_are_added_up(text: str):
    with pytest.raises(MappingError, match="its headers are those of a log of games"):
        read_cards(text.encode(), sum_duplicates=True)


def test_a_table_with_the_headers_of_a_log_is_one_where_it_is_told_or_adds_up():
    rows = "".join(
        f"{name},{games},{wins},{100 * wins / games:.1f}%\n"
        for name, games, wins in (
            ("Fox", 40, 13),
            ("Moth", 31, 17),
            ("Elk", 57, 31),
            ("Ox", 23, 9),
        )
    )

    assert read_cards(f"card,game,won,x\n{rows}".encode()).games[0] == 40
    told = read_cards(LOG.encode(), columns={"games": "game"}, sum_duplicates=True)
    assert told.games.tolist() == [1, 1, 2, 3]
