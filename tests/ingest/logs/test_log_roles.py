"""What the columns of a log hold."""

import pytest

from winrate_tools.errors import MappingError, SettingError
from winrate_tools.ingest.logs.log_roles import find_log_roles
from winrate_tools.ingest.text.grid import read_grid


def roles(*lines: str, **columns):
    return find_log_roles(read_grid("\n".join(lines) + "\n", "log.csv"), columns)


def test_a_list_is_told_by_its_header_and_parted_by_its_safest_mark():
    found = roles("game,won,cards,held", '1,1,"Vine, Ash|Fox",Fox', '2,0,"Vine, Ash|Fox",')

    assert (found.layout, found.mark, found.knows_hands) == ("list", "|", True)
    assert found.where == {"game": 1, "won": 2, "cards": 3, "held": 4}


@pytest.mark.parametrize(
    ("cell", "mark"), [("Fox;Moth", ";"), ('"Fox,Moth"', ","), ("Fox/Moth", "/"), ("Fox", "|")]
)
def test_a_list_may_be_parted_by_other_marks(cell, mark):
    assert roles("game,won,deck list", f"1,yes,{cell}", f"2,no,{cell}").mark == mark


def test_a_column_called_deck_holds_a_name_or_a_list():
    named = roles("game,won,deck,card", "1,yes,d1,Fox", "1,yes,d1,Moth")
    listed = roles("game,won,deck", "1,yes,Fox|Moth", "2,no,Fox|Vine")

    assert (named.layout, named.where["deck"]) == ("long", 3)
    assert (listed.layout, listed.where["cards"]) == ("list", 3)
    assert "deck" not in listed.where


def test_wide_columns_are_cards_and_those_held():
    found = roles(
        "game,won,turns?,Fox,Moth,held Fox,Moth: held", "1,1,x,2,0,1,0", "2,0,y,0,1,0,1"
    )

    assert found.layout == "wide"
    assert dict(found.deck) == {"Fox": 4, "Moth": 5}
    assert dict(found.held) == {"Fox": 6, "Moth": 7}
    assert found.notes == (
        "2 columns were taken for cards, from 'Fox' to 'Moth'",
        "not used: turns?",
    )


def test_what_is_never_0_in_many_decks_is_no_card():
    rows = [f"{n},1,{5 + n % 4},{n % 2},{n % 3}" for n in range(30)]
    found = roles("game,won,turns,Fox,Moth", *rows)

    assert list(found.deck) == ["Fox", "Moth"]
    assert found.notes[-1] == "not used: turns"


def test_some_cards_without_hands_are_refused():
    with pytest.raises(
        MappingError, match=r"1 card columns have one .* 1 have none, first 'Moth'"
    ):
        roles("game,won,Fox,Moth,Fox held", "1,1,2,0,1", "2,0,0,1,0")


def test_a_told_column_counts_and_0_leaves_a_role_empty():
    found = roles("game,h,cards,held", "1,yes,Fox|Moth,Fox", "2,no,Fox|Moth,", won=2, held=0)

    assert found.where == {"won": 2, "game": 1, "cards": 3}
    assert not found.knows_hands
    with pytest.raises(SettingError, match="no role 'wons', did you mean 'won'"):
        roles("game,won,cards", "1,yes,Fox|Moth", wons=1)


def test_a_log_without_cards_or_an_outcome_is_asked_about():
    with pytest.raises(MappingError, match=r"which cards a deck holds.*\n.*\n--map cards=1"):
        roles("game,won,note", "1,yes,a b", "2,no,c d")
    with pytest.raises(
        MappingError, match=r"who won; columns: 1 'x', 2 'y'.*\n.*\n--map won=1"
    ):
        roles("x,y", "1,5", "2,6")


@pytest.mark.parametrize(
    ("lines", "called", "use"),
    [
        (("card,games,wins", "Fox,10,1", "Moth,9,5"), "a table of cards", "rank TABLE"),
        (("card,copies,faction", "Fox,2,Cog"), "a pool", "packs --pool FILE --seats N"),
    ],
)
def test_a_table_is_no_log(lines: tuple[str, ...], called: str, use: str):
    with pytest.raises(MappingError) as caught:
        roles(*lines)

    assert f"headers are those of {called}\n" in str(caught.value)
    assert f"winrate-tools {use}\n" in str(caught.value)


def test_a_log_with_the_headers_of_a_table_is_one_where_it_says_who_won_or_is_told():
    lines = ("card,games,wins", "Fox,1,yes", "Moth,1,yes", "Fox,2,no", "Elk,2,?")

    assert roles(*lines).where == {"card": 1, "game": 2, "won": 3}
    assert roles("card,games,wins", "Fox,1,5", won=3).where["won"] == 3
