"""Which picture stands in which section."""

from winrate_tools.report.cards.sections import cut_report
from winrate_tools.report.document import Picture
from winrate_tools.report.figures.gallery import gallery
from winrate_tools.report.figures.placing import GLANCE, illustrated


def pictures(section) -> list[str]:
    return [block.name for block in section.blocks if isinstance(block, Picture)]


def test_every_picture_stands_once_in_the_section_it_belongs_to(illustrated_pool, source):
    report = cut_report(illustrated_pool, source, origins={}, version="1")

    places = {
        section.title: found for section in report.sections if (found := pictures(section))
    }
    assert places == {
        "Traps": ["use"],
        "Archetypes": ["archetypes"],
        "What cannot be said yet": ["outlook"],
        GLANCE: ["estimates", "luck"],
    }


def test_a_picture_comes_after_what_is_said_and_all_cards_before_the_explanations(
    illustrated_pool, source
):
    report = cut_report(illustrated_pool, source, origins={}, version="1")

    titles = [section.title for section in report.sections]
    [traps] = [section for section in report.sections if section.title == "Traps"]
    assert isinstance(traps.blocks[-1], Picture)
    assert titles[titles.index(GLANCE) + 1] == "How to read the numbers"


def test_sections_that_are_not_there_get_no_picture(illustrated_pool):
    assert illustrated((), illustrated_pool) == ()
    assert gallery(illustrated_pool)
