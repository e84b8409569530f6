"""Files that a command writes besides its result: made first, then written, each whole."""

from collections.abc import Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from winrate_tools import __version__
from winrate_tools.cli.output import deliver, say
from winrate_tools.cli.targets import Target
from winrate_tools.errors import MissingExtraError

if TYPE_CHECKING:
    from winrate_tools.decide.cards.since import Since
    from winrate_tools.decide.cards.verdicts import CardVerdict
    from winrate_tools.ranking import Ranking


EXTRAS = {"--xlsx": ("xlsxwriter", "xlsx"), "--plot": ("matplotlib", "plot")}
"""Options that need a library of an extra, and that extra."""


def demand_extras(targets: Sequence[Target]) -> None:
    """Refuse what needs a library that is not installed, before any work is done.

    Raises
    ------
    MissingExtraError
        If one is not there.
    """
    for option, _ in targets:
        library, extra = EXTRAS.get(option, ("winrate_tools", ""))
        if find_spec(library) is None:
            msg = f'{option} needs {library}: pip install "winrate_tools[{extra}]"'
            raise MissingExtraError(msg)


def workbook(
    ranking: "Ranking",
    cards: "Sequence[CardVerdict]",
    origins: Mapping[str, str],
    since: "Since | None" = None,
) -> bytes:
    """Make the workbook of a ranking, with those of its cards that are to be in it."""
    from winrate_tools.report.cards import sheet

    return sheet.workbook(
        ranking.verdict,
        cards,
        ranking.source,
        ranking.settings,
        origins=origins,
        version=__version__,
        since=since,
    )


def picture_targets(path: str) -> tuple[Target, ...]:
    """List the files of pictures that may stand beside a report in markdown."""
    from winrate_tools.report.figures import archetypes, estimates, luck, outlook, use
    from winrate_tools.report.forms.markdown import picture_file

    names = [kind.NAME for kind in (estimates, luck, archetypes, use, outlook)]
    report = Path(path)
    return tuple(
        Target("-o", str(report.with_name(picture_file(report.stem, name)))) for name in names
    )


def write_all(files: Mapping[str, bytes], *, force: bool) -> None:
    """Write files, each whole, and say which.

    Raises
    ------
    OutputError
        If one cannot be written; those before it stay.
    """
    for path, data in files.items():
        deliver(data, path, force=force)
        say(f"wrote {path}")
