"""One way out for every result."""

import os
from pathlib import Path

import pytest

from winrate_tools.cli.options import Format, Output
from winrate_tools.cli.results import deliver_result
from winrate_tools.errors import OutputError
from winrate_tools.report.document import Document, Picture, Section
from winrate_tools.report.forms.screen import Screen

SVG = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'></svg>"
LUCK = Picture("luck", "Luck", "How to read it.", "Dots.", SVG)
WRITTEN = {
    Format.TABLE: "Title\n=====\n",
    Format.MD: "# Title\n",
    Format.CSV: "a,b\n",
    Format.JSON: "{}\n",
}


def illustrated() -> Document:
    return Document("Title", (Section("", (LUCK,)),))


def deliver(output: Output, **options: Format) -> str:
    deliver_result(
        output,
        lambda: Document("Title", ()),
        csv=lambda: "a,b\n",
        json=lambda: "{}\n",
        **options,
    )
    return Path(output.output).read_text()


@pytest.mark.parametrize(("style", "text"), WRITTEN.items())
def test_each_format_has_its_writer(style: Format, text: str):
    assert deliver(Output(format=style, output="out")) == text
    assert deliver(Output(output="other"), default=style) == text


def test_the_short_form_of_json_wins():
    assert deliver(Output(format=Format.CSV, json=True, output="out")) == "{}\n"


def nothing() -> str:
    return ""


def test_a_command_may_have_formats_of_its_own():
    def page() -> str:
        return "<p>é"

    deliver_result(
        Output(format=Format.HTML, output="out"),
        illustrated,
        csv=nothing,
        json=nothing,
        others={Format.HTML: page},
    )

    assert Path("out").read_bytes() == "<p>é".encode()


def test_a_document_is_made_only_where_it_is_written():
    made = []

    def make() -> Document:
        made.append(1)
        return Document("Title", ())

    for style in (Format.CSV, Format.MD, Format.TABLE):
        deliver_result(Output(format=style, output=style), make, csv=nothing, json=nothing)

    assert len(made) == 2


def test_markdown_in_a_file_has_its_pictures_beside_it(capsys):
    Path("deep").mkdir()
    output = Output(output="deep/cuts.md")
    deliver_result(output, illustrated, csv=nothing, json=nothing)

    assert sorted(path.name for path in Path("deep").iterdir()) == ["cuts.luck.svg", "cuts.md"]
    assert "](cuts.luck.svg)" in Path("deep/cuts.md").read_text()
    assert Path("deep/cuts.luck.svg").read_text().startswith("<svg")
    assert capsys.readouterr().err == (
        "wrote deep/cuts.md\nwrote its pictures: deep/cuts.luck.svg\n"
    )


def test_no_picture_goes_before_it_is_sure_that_all_can():
    Path("cuts.luck.svg").write_text("mine")

    with pytest.raises(OutputError, match=r"^cuts\.luck\.svg exists; --force writes over it$"):
        deliver_result(Output(output="cuts.md"), illustrated, csv=nothing, json=nothing)
    assert not Path("cuts.md").exists()
    forced = Output(output="cuts.md", force=True)
    deliver_result(forced, illustrated, csv=nothing, json=nothing)
    assert Path("cuts.luck.svg").read_text().startswith("<svg")


def test_the_first_picture_waits_for_the_last():
    two = [Picture(name, name, "How to read it.", "Dots.", SVG) for name in ("luck", "use")]
    Path("cuts.use.svg").write_text("mine")

    with pytest.raises(OutputError, match=r"^cuts\.use\.svg exists"):
        deliver_result(
            Output(output="cuts.md"),
            lambda: Document("Title", (Section("", tuple(two)),)),
            csv=nothing,
            json=nothing,
        )
    assert [path.name for path in Path().iterdir()] == ["cuts.use.svg"]


def test_beside_what_is_no_plain_file_there_are_no_pictures():
    os.mkfifo("pipe.md")
    reader = os.open("pipe.md", os.O_RDONLY | os.O_NONBLOCK)
    deliver_result(Output(output="pipe.md"), illustrated, csv=nothing, json=nothing)

    said = os.read(reader, 1000)
    assert said.startswith(b"# Title\n")
    assert b"svg" not in said
    assert [path.name for path in Path().iterdir()] == ["pipe.md"]
    os.close(reader)


def test_ten_lines_for_a_chat_are_written_as_the_screen_can_say_them(capsysbinary, monkeypatch):
    monkeypatch.setattr(
        "winrate_tools.cli.results.screen_for", lambda *_, **__: Screen(None, False, "ascii")
    )
    deliver_result(
        Output(format=Format.BRIEF),
        illustrated,
        csv=nothing,
        json=nothing,
        others={Format.BRIEF: lambda: "é\n"},
    )

    assert capsysbinary.readouterr().out == b"\\xe9\n"
