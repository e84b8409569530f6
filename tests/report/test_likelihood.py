"""Chances in words."""

from winrate_tools.report.likelihood import likelihood


def test_the_scale_of_words_mirrors_itself():
    scale = [likelihood(number) for number in range(21)]

    assert scale == (
        ["almost surely not"] * 2
        + ["probably not"] * 3
        + ["less likely than not"] * 3
        + ["cannot tell"] * 5
        + ["more likely than not"] * 3
        + ["probably"] * 3
        + ["almost surely"] * 2
    )
