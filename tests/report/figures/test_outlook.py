"""What more games would settle."""

import pytest

from tests.report.figures.drawings import drawn, of_class, texts
from winrate_tools.decide.cards.outlook import Outlook
from winrate_tools.report.figures import outlook


def bars(pool) -> list[tuple[float, float, float]]:
    """Return each row's frame, dark part and light part, as widths."""
    root = drawn(outlook.svg(pool))
    rects = [one for one in of_class(root, "*") or root.iter() if one.tag.endswith("rect")]
    big = [float(one.get("width")) for one in rects if one.get("height") == "20"]
    return [tuple(big[i : i + 3]) for i in range(0, len(big), 3)]


def test_a_bar_is_as_long_as_what_is_settled(pool):
    rows = bars(pool)

    scale = (outlook.RIGHT - outlook.LEFT) / 8
    assert len(rows) == 3
    assert [frame for frame, _, _ in rows] == [outlook.RIGHT - outlook.LEFT] * 3
    assert [dark for _, dark, _ in rows] == pytest.approx(
        [4 * scale, 3.75 * scale, 3.9 * scale], abs=0.11
    )
    assert [light for *_, light in rows] == pytest.approx(
        [0, 1.75 * scale, 2.5 * scale], abs=0.11
    )


def test_every_bar_says_its_numbers(pool):
    said = texts(drawn(outlook.svg(pool)))

    assert {"games so far", "10 times", "100 times"} <= set(said)
    assert "4 settled" in said
    assert "about 5.5 settled, about 1.8 of them new" in said


def test_words_beside_the_picture_say_the_same(pool):
    said = outlook.alt(pool)

    assert said.startswith("Of 8 cards, 4 have a verdict now. 10 times the games: about 5.5,")
    assert "about 1.8 of them open now" in said
    assert outlook.ahead(pool) == (
        "4 of 8 cards have a verdict now. Expected with 10 times as many games, about 5.5; "
        "with 100 times as many games, about 6.4."
    )
    assert "How many of 8 cards" in outlook.caption(pool)


def test_large_multiples_have_their_thousands_parted(make_card, make_pool):
    steps = (Outlook(1, 1.0, 0.0), Outlook(1000, 1.0, 0.0))

    assert "1,000 times" in texts(
        drawn(outlook.svg(make_pool(make_card("A", 0.5), outlook=steps)))
    )
