"""One way out for every result."""

from pathlib import Path

import pytest

from winrate_tools.cli.options import Format, Output
from winrate_tools.cli.results import deliver_result
from winrate_tools.report.document import Document

WRITTEN = {
    Format.TABLE: "Title\n=====\n",
    Format.MD: "# Title\n",
    Format.CSV: "a,b\n",
    Format.JSON: "{}\n",
}


def deliver(output: Output, **options: Format) -> str:
    document = Document("Title", ())
    deliver_result(output, document, csv=lambda: "a,b\n", json=lambda: "{}\n", **options)
    return Path(output.output).read_text()


@pytest.mark.parametrize(("style", "text"), WRITTEN.items())
def test_each_format_has_its_writer(style: Format, text: str):
    assert deliver(Output(format=style, output="out")) == text
    assert deliver(Output(output="other"), default=style) == text


def test_the_short_form_of_json_wins():
    assert deliver(Output(format=Format.CSV, json=True, output="out")) == "{}\n"
