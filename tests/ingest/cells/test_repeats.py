"""What was made of a short cell is kept."""

from winrate_tools.ingest.cells.repeats import KEPT, SHORT, remembered


def test_short_cells_are_read_once_and_long_ones_every_time():
    seen = []

    @remembered
    def length(text: str) -> int:
        """Count."""
        seen.append(text)
        return len(text)

    short, long = "x" * SHORT, "x" * (SHORT + 1)
    found = [length(text) for text in (short, long, short, long)]

    assert found == [SHORT, SHORT + 1] * 2
    assert seen == [short, long, long]
    assert length.__doc__ == "Count."


def test_no_more_cells_are_kept_than_fit():
    seen = []
    read = remembered(seen.append)

    for number in range(KEPT + 1):
        read(str(number))
    read("0")
    read(str(KEPT))

    assert len(seen) == KEPT + 2
