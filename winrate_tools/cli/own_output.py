"""Standard output is for results alone."""

import io
import os
import sys
from pathlib import Path


def keep_output_own() -> None:
    """Let what libraries print below Python get lost, and results alone reach the output.

    The solver of integer programs now and then prints a line of its own, which would stand in
    the middle of a table or of JSON. Nothing changes where the output is not the program's.
    """
    output = sys.__stdout__
    if output is None or sys.stdout is not output or output.fileno() != 1:
        return
    output.flush()
    own = os.dup(1)
    with Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), 1)
    sys.stdout = io.TextIOWrapper(
        os.fdopen(own, "wb"),
        output.encoding,
        output.errors,
        line_buffering=output.line_buffering,
    )
