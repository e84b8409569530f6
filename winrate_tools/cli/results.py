"""One way out for every result: a document for people, records for programs."""

import os
from collections.abc import Callable, Mapping
from pathlib import Path

from winrate_tools.cli.options import Format, Output
from winrate_tools.cli.output import (
    STDOUT,
    deliver,
    demand_target,
    is_plain_file,
    say,
    screen_for,
)
from winrate_tools.report.document import Document
from winrate_tools.report.forms import text

Written = Callable[[], str]


def deliver_result(
    output: Output,
    document: Callable[[], Document],
    *,
    csv: Written,
    json: Written,
    default: Format = Format.TABLE,
    others: Mapping[Format, Written] | None = None,
) -> None:
    """Write a result in the format asked for, to where it was asked for, and say where.

    Parameters
    ----------
    output : Output
        What was asked for.
    document : callable
        Makes the result for people; called only where that is written.
    csv, json : callable
        Write the result for programs.
    default : Format, optional
        Format where none was asked for.
    others : mapping of Format to callable, optional
        Writers of formats that only this command has.
    """
    screen = screen_for(output.output, no_color=output.no_color, environment=os.environ)
    style = output.chosen(default)
    if style is Format.MD and is_plain_file(output.output):
        _deliver_illustrated(output, document())
        return
    writers: dict[Format, Written] = {
        Format.CSV: csv,
        Format.JSON: json,
        Format.MD: lambda: _markdown(document()),
        Format.TABLE: lambda: text.render(document(), screen),
        Format.HTML: lambda: _page(document()),
        **(others or {}),
    }
    encoding = screen.encoding if style in {Format.TABLE, Format.BRIEF} else "utf-8"
    deliver(writers[style](), output.output, force=output.force, encoding=encoding)
    if output.output != STDOUT:
        say(f"wrote {output.output}")


def _deliver_illustrated(output: Output, document: Document) -> None:
    """Write markdown with its pictures as files beside it, these first."""
    from winrate_tools.report.forms import markdown

    path = Path(output.output)
    files = {
        str(path.with_name(name)): picture
        for name, picture in markdown.picture_files(document, path.stem).items()
    }
    for file in files:
        demand_target(file, force=output.force)
    for file, picture in files.items():
        deliver(picture, file, force=output.force)
    deliver(markdown.render(document, path.stem), output.output, force=output.force)
    say(f"wrote {output.output}")
    if files:
        say(f"wrote its pictures: {', '.join(files)}")


def _markdown(document: Document) -> str:
    from winrate_tools.report.forms.markdown import render

    return render(document)


def _page(document: Document) -> str:
    from winrate_tools.report.page.plain import plain_page

    return plain_page(document)
