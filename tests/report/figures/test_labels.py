"""Names beside dots."""

from hypothesis import given
from hypothesis import strategies as st

from tests.report.figures.drawings import drawn
from winrate_tools.report.figures.frame import LETTER
from winrate_tools.report.figures.labels import HEIGHT, Box, Label, labels, written

ROOM = Box(0, 0, 300, 200)
SPOTS = st.lists(st.tuples(st.floats(5, 295), st.floats(5, 195)), min_size=1, max_size=12)


def boxes(placed) -> list[Box]:
    return [
        Box(at.x, at.y + 2.5 - HEIGHT, at.x + LETTER * len(at.name), at.y + 2.5)
        for at in placed
    ]


@given(spots=SPOTS)
def test_no_name_lies_on_another_on_a_named_dot_or_outside(spots):
    placed = boxes(labels([("Ash Vine", x, y) for x, y in spots], ROOM, spots))

    pairs = [(a, b) for i, a in enumerate(placed) for b in placed[i + 1 :]]
    assert not any(a.meets(b) for a, b in pairs)
    assert not any(
        a.left < x < a.right and a.top < y < a.bottom for a in placed for x, y in spots
    )
    assert all(
        a.left >= 0 and a.right <= 300 and a.top >= 0 and a.bottom <= 200 for a in placed
    )


def test_a_name_stands_right_of_its_dot_where_there_is_room():
    [label] = labels([("Moth", 100, 100)], ROOM, [(100, 100)])

    assert label.x == 107
    assert label.name == "Moth"


def test_at_the_right_edge_a_name_stands_left_of_its_dot():
    [label] = labels([("Moth", 295, 100)], ROOM, [(295, 100)])

    assert label.x == 295 - 7 - 4 * LETTER


def test_a_name_moves_out_of_the_way_of_other_dots():
    [label] = labels([("Moth", 100, 100)], ROOM, [(100, 100), (115, 100)])

    assert label.x < 100


def test_the_first_name_has_the_first_choice_and_one_without_room_is_left_out():
    tight = Box(90, 90, 140, 110)

    placed = labels([("Moth", 100, 100), ("Vine", 100, 100)], tight, [(100, 100)])
    assert [at.name for at in placed] == ["Moth"]


def test_boxes_that_only_touch_do_not_meet():
    one = Box(0, 0, 10, 10)

    assert one.meets(Box(9, 9, 20, 20))
    assert not one.meets(Box(10, 0, 20, 10))
    assert not one.meets(Box(0, 10, 10, 20))
    assert one.is_inside(one)
    assert not Box(0, 0, 11, 10).is_inside(one)


def test_names_are_written_where_they_were_placed():
    root = drawn(written([Label("Ash & Co", 1.25, 20), Label("Elm", 3, 40.04)]))

    assert root.get("class") == "over"
    assert [(one.text, one.get("x"), one.get("y")) for one in root] == [
        ("Ash & Co", "1.2", "20"),
        ("Elm", "3", "40"),
    ]
