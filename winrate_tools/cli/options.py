"""The options that commands share, in groups; each group is one frozen value."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any, ClassVar

import typer

from winrate_tools.cli.misuse import one_of
from winrate_tools.errors import OutputError


def taking(metavar: str, help_text: str, *names: str) -> Any:
    """Make an option that takes a text; its name is the parameter's where none is said."""
    return typer.Option(*names, metavar=metavar, help=help_text)


def columns_of(what: str, option: str) -> Any:
    """Make the option that names the columns of a further file."""
    return taking("ROLE=HEADER", f"Which column of {what} holds what; repeatable.", option)


TableArgument = Annotated[
    str,
    typer.Argument(
        metavar="TABLE", help="CSV, TSV or Parquet file of cards; - for standard input."
    ),
]


class Format(StrEnum):
    """How a result is written."""

    TABLE = "table"
    CSV = "csv"
    JSON = "json"
    MD = "md"
    HTML = "html"
    BRIEF = "brief"


SHARED = (Format.TABLE, Format.CSV, Format.JSON, Format.MD, Format.HTML)
"""Formats that every command writes."""
ENDINGS = {
    ".csv": Format.CSV,
    ".json": Format.JSON,
    ".md": Format.MD,
    ".markdown": Format.MD,
    ".txt": Format.TABLE,
    ".html": Format.HTML,
    ".htm": Format.HTML,
}
"""What the ending of a file's name promises, with every command."""
OTHER_SPELLINGS = {".markdown", ".htm"}
PAGES = (".html", ".htm")
NOT_WRITTEN = {
    *(".xlsx", ".xls", ".ods", ".tsv", ".parquet", ".pdf", ".doc", ".docx"),
    *(".odt", ".rtf", ".png", ".jpg", ".jpeg", ".gif", ".svg", ".webp", ".xml", ".yaml"),
    *(".yml", ".toml", ".zip", ".gz"),
}
"""Endings that promise what -o does not write."""


PICTURES = (".png", ".svg", ".pdf")
"""What --plot draws."""
SkipBadOption = Annotated[
    bool, typer.Option("--skip-bad", help="Leave out rows that make no sense, and say so.")
]
XlsxOption = Annotated[
    str | None, taking("FILE", "Write a workbook too (needs the extra xlsx).", "--xlsx")
]
SureOption = Annotated[str | None, taking("CHANCE", "How sure is sure enough [default: 0.9].")]
AllowanceOption = Annotated[
    str | None,
    taking(
        "SHARE",
        "Share of the spread between records that is the cards' own, up to 1 "
        "[default: by measure and table].",
    ),
]
DesignEffectOption = Annotated[
    str | None, taking("NUMBER", "How many games count as one independent game, from 1.")
]
SeedOption = Annotated[str | None, taking("N", "Seed of every draw [default: 1].")]
MarginOption = Annotated[
    str | None,
    taking(
        "POINTS",
        "How far below the baseline still counts as fine, in percentage points "
        "[default: 2, or 1 for measure deck].",
    ),
]


@dataclass(frozen=True, slots=True)
class PlainReading:
    """How a table is read."""

    columns: Annotated[
        list[str] | None,
        taking(
            "ROLE=HEADER",
            "Which column holds what, by header or by number from 1; repeatable.",
            "--map",
        ),
    ] = None
    decimal: Annotated[
        str | None, taking("MARK", "Decimal mark of the file: . or a comma.")
    ] = None
    skip_bad: SkipBadOption = False
    sum_duplicates: Annotated[
        bool, typer.Option("--sum-duplicates", help="Add up rows that name the same card.")
    ] = False


@dataclass(frozen=True, slots=True)
class Reading(PlainReading):
    """How a table is read, and whether to keep what its columns hold."""

    skip_bad: Annotated[
        bool,
        typer.Option(
            "--skip-bad",
            help="Leave out rows of TABLE that make no sense, and say so; further files must "
            "be sound.",
        ),
    ] = False
    remember: Annotated[
        bool,
        typer.Option(
            "--remember", help="Keep the columns' roles in winrate.toml by the table."
        ),
    ] = False


@dataclass(frozen=True, slots=True)
class Judging:
    """What the verdicts rest on; every default is None: nobody said."""

    baseline: Annotated[
        str | None,
        taking(
            "RATE",
            "Win rate of an average card: 0.53, 53 or 53%, sample or player_rate "
            "[default: sample, the table's own mean].",
        ),
    ] = None
    margin: MarginOption = None
    sure: SureOption = None
    measure: Annotated[
        str | None,
        taking(
            "held|opening|deck",
            "Which games count: card in hand, in the opening hand, or in the deck "
            "[default: held].",
        ),
    ] = None
    target: Annotated[
        str | None,
        taking(
            "PLAYERS",
            "Whose games the estimates are for: sample, even (players who win half "
            "their games), a skill band, or a mix such as new:3,expert:1 [default: sample].",
            "--for",
        ),
    ] = None
    bands: Annotated[
        str | None,
        taking(
            "NAMES",
            "Skill bands from the weakest to the strongest: new,steady,expert "
            "[default: by win rate].",
        ),
    ] = None
    allowance: AllowanceOption = None
    design_effect: DesignEffectOption = None
    shortlist: Annotated[
        str | None, taking("N", "Length of the list of the weakest [default: 20].")
    ] = None
    seed: SeedOption = None


@dataclass(frozen=True, slots=True)
class Decks:
    """Games of whole decks."""

    archetypes: Annotated[
        str | None,
        taking(
            "FILE",
            "Games and wins of whole decks, one row an archetype; without it they are "
            "worked out from the cards' games.",
        ),
    ] = None
    archetypes_map: Annotated[list[str] | None, columns_of("that file", "--archetypes-map")] = (
        None
    )


@dataclass(frozen=True, slots=True)
class Configured:
    """Which configuration files count."""

    config: Annotated[
        Path | None, taking("FILE", "Configuration to take in place of winrate.toml.")
    ] = None
    no_config: Annotated[
        bool, typer.Option("--no-config", help="Ignore configuration files and kept columns.")
    ] = False


@dataclass(frozen=True, slots=True)
class Output:
    """Where a result goes and how it looks."""

    endings: ClassVar[Mapping[str, Format]] = ENDINGS
    elsewhere: ClassVar[Mapping[str, str]] = {}
    """Which other option writes what an ending promises."""

    format: Annotated[
        Format | None,
        typer.Option(
            parser=lambda text: Format(one_of(SHARED)(text)),
            metavar="|".join(SHARED),
            help="How to write the result [default: by the ending of -o, else table].",
        ),
    ] = None
    json: Annotated[bool, typer.Option("--json", help="Short for --format json.")] = False
    output: Annotated[str, taking("FILE", "File to write; - for screen.", "--output", "-o")] = (
        "-"
    )
    force: Annotated[bool, typer.Option("--force", help="Write over a file that exists.")] = (
        False
    )
    no_color: Annotated[
        bool, typer.Option("--no-color", help="No colours, even on a terminal.")
    ] = False

    def chosen(self, default: Format = Format.TABLE) -> Format:
        """Return the format asked for, else the one that -o ends in, else the command's own.

        Raises
        ------
        OutputError
            If nobody asks for a format and the ending promises one that is not written.
        """
        if self.json:
            return Format.JSON
        if self.format is not None:
            return self.format
        ending = Path(self.output).suffix.lower()
        if ending in NOT_WRITTEN and ending not in self.endings:
            raise OutputError(self._refusal(ending))
        return self.endings.get(ending, default)

    def _refusal(self, ending: str) -> str:
        *others, last = (known for known in self.endings if known not in OTHER_SPELLINGS)
        wanted = f"-o must end in {', '.join(others)} or {last}, got {ending}"
        if ending in self.elsewhere:
            return f"{wanted}; {self.elsewhere[ending]} {self.output} writes that"
        return f"{wanted}; name the file so, or say with --format what to write to it"
