"""Numbers as a reader sees them."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.decide.cards.rules import Rule
from winrate_tools.report import words

RATES = st.floats(0.02, 0.98)
SURE = st.floats(0.501, 0.9999)
NUMBER = re.compile(r"[\d.]+")


def printed(text: str) -> list[float]:
    return [float(number) for number in NUMBER.findall(text)]


def sign(difference: float) -> int:
    return (difference > 0) - (difference < 0)


@given(sure=SURE, chances=st.tuples(st.floats(0, 1), st.floats(0, 1)))
def test_two_equal_printed_chances_never_have_different_verdicts(sure, chances):
    rule = Rule(0.5, sure)
    verdicts = [rule.verdict(chance) for chance in chances]

    shown = [
        words.twentieths(chance, sure, verdict)
        for chance, verdict in zip(chances, verdicts, strict=True)
    ]
    assert shown[0] != shown[1] or verdicts[0] == verdicts[1]


@given(sure=SURE, step=st.floats(1e-9, 0.02), side=st.sampled_from([1, -1]))
def test_chances_on_both_sides_of_a_bar_are_printed_differently(sure, step, side):
    rule = Rule(0.5, sure)
    bar = sure if side > 0 else 1 - sure
    chances = (bar + side * step * (1 - sure), bar - side * step * (sure - 0.5))
    verdicts = [rule.verdict(chance) for chance in chances]

    shown = [
        words.twentieths(chance, sure, verdict)
        for chance, verdict in zip(chances, verdicts, strict=True)
    ]
    assert verdicts[0] != verdicts[1]
    assert shown[0] != shown[1]


@given(sure=SURE, chance=st.floats(0, 1))
def test_a_printed_chance_is_within_one_twentieth_of_the_truth(sure, chance):
    verdict = Rule(0.5, sure).verdict(chance)

    assert abs(words.twentieths(chance, sure, verdict) - 20 * chance) <= 1


@given(rate=RATES, line=RATES)
def test_a_rate_is_printed_on_its_own_side_of_the_line(rate, line):
    [shown] = printed(words.beside_line(rate, line))
    [mark] = printed(words.exact_percent(line))

    assert sign(shown - mark) == words.side_of(rate, line)


@given(line=RATES, pair=st.tuples(st.floats(-0.002, 0.002), st.floats(-0.002, 0.002)))
def test_printing_beside_the_line_keeps_the_order(line, pair):
    low, high = sorted(line + step for step in pair)

    [low_shown] = printed(words.beside_line(low, line))
    [high_shown] = printed(words.beside_line(high, line))
    assert low_shown <= high_shown


@pytest.mark.parametrize(
    ("rate", "line", "text"),
    [
        (0.4712, 0.5, "47.1%"),
        (0.4997, 0.5, "49.97%"),
        (0.4999999, 0.5, "49.999%"),
        (0.5000001, 0.5, "50.001%"),
        (0.5, 0.5, "50.0%"),
        (0.48868, 0.48873, "48.868%"),
        (0.4888, 0.48873, "48.9%"),
    ],
)
def test_only_as_many_digits_as_the_line_asks_for(rate: float, line: float, text: str):
    assert words.beside_line(rate, line) == text


@pytest.mark.parametrize(
    ("sure", "cut_from", "keep_to"),
    [(0.9, 18, 2), (0.95, 19, 1), (0.8, 16, 4), (0.85, 17, 3), (0.97, 20, 0), (0.55, 11, 9)],
)
def test_bars_are_exact_twentieths(sure: float, cut_from: int, keep_to: int):
    assert words.bars(sure) == (cut_from, keep_to)


@pytest.mark.parametrize(
    ("sure", "name"),
    [
        (0.9, "8 in 10"),
        (0.95, "9 in 10"),
        (0.8, "6 in 10"),
        (0.92, "84 in 100"),
        (0.99, "98 in 100"),
        (0.995, "99 in 100"),
        (0.9995, "999 in 1,000"),
        (0.99999, "about 999 in 1,000"),
        (0.9123, "about 825 in 1,000"),
        (0.5001, "about 1 in 1,000"),
    ],
)
def test_a_range_is_named_after_what_it_holds(sure: float, name: str):
    assert words.range_name(sure) == name


@pytest.mark.parametrize(
    ("number", "text"),
    [(0, "under 1 in 20"), (1, "1 in 20"), (19, "19 in 20"), (20, "over 19 in 20")],
)
def test_nothing_is_ever_certain(number: int, text: str):
    assert words.of_twenty(number) == text


@pytest.mark.parametrize(
    ("number", "text"),
    [(0.0, "under 0.1"), (0.1, "about 0.1"), (9.94, "about 9.9"), (9.96, "about 10")],
)
def test_expected_numbers_have_one_decimal_while_small(number: float, text: str):
    assert words.expected(number) == text


@pytest.mark.parametrize(
    ("rate", "text"), [(0.5009, "49.999%"), (0.5011, "50.1%"), (0.52, "52.0%")]
)
def test_a_verdicts_side_is_taken_only_very_near_the_line(rate: float, text: str):
    assert words.near_line(rate, 0.5, -1) == text
