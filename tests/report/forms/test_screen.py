"""What text is written for."""

from winrate_tools.report.forms.screen import Screen


def test_a_screen_that_nobody_knows_is_endless_plain_and_speaks_everything():
    assert Screen() == Screen(width=None, colour=False, encoding="utf-8")
