"""One way out for every result: a document for people, records for programs."""

import os
from collections.abc import Callable

from winrate_tools.cli.options import Format, Output
from winrate_tools.cli.output import STDOUT, deliver, say, screen_for
from winrate_tools.report import markdown, text
from winrate_tools.report.document import Document

Written = Callable[[], str]


def deliver_result(
    output: Output,
    document: Document,
    *,
    csv: Written,
    json: Written,
    default: Format = Format.TABLE,
) -> None:
    """Write a result in the format asked for, to where it was asked for, and say where.

    Parameters
    ----------
    output : Output
        What was asked for.
    document : Document
        The result for people.
    csv, json : callable
        Write the result for programs.
    default : Format, optional
        Format where none was asked for.
    """
    screen = screen_for(output.output, no_color=output.no_color, environment=os.environ)
    encoding = "utf-8"
    match output.chosen(default):
        case Format.CSV:
            result = csv()
        case Format.JSON:
            result = json()
        case Format.MD:
            result = markdown.render(document)
        case Format.TABLE:
            result, encoding = text.render(document, screen), screen.encoding
    deliver(result, output.output, force=output.force, encoding=encoding)
    if output.output != STDOUT:
        say(f"wrote {output.output}")
