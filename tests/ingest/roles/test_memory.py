"""Mappings remembered beside the data."""

import tomllib
from pathlib import Path

import pytest

from winrate_tools.errors import OutputError, SettingError
from winrate_tools.ingest.roles.memory import header_key, remember_mapping, remembered_mapping
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards

HEADERS = ("Karte", "Partien", 'Sie"ge\\')
MAPPING = {"card": "Karte", "games": 2, "wins": 'Sie"ge\\'}


def test_what_is_remembered_comes_back_for_the_same_headers_only(tmp_path: Path):
    remember_mapping(tmp_path, HEADERS, MAPPING)

    assert remembered_mapping(tmp_path, [" KARTE", "partien", 'Sie"ge\\']) == MAPPING
    assert remembered_mapping(tmp_path, HEADERS[:2]) is None
    assert remembered_mapping(tmp_path, HEADERS[::-1]) is None


def test_nothing_is_remembered_where_there_is_no_file(tmp_path: Path):
    assert remembered_mapping(tmp_path, HEADERS) is None


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("last", ["", "end"])
def test_the_rest_of_the_file_stays_byte_for_byte(tmp_path: Path, end: str, last: str):
    path = tmp_path / "winrate.toml"
    before = f"# ours{end}sure = 0.9{end}{end}[report]{end}name = 'Käfer' # kept"
    path.write_bytes((before + (end if last else "")).encode())

    remember_mapping(tmp_path, HEADERS, MAPPING)

    assert path.read_bytes().startswith(before.encode())
    assert remembered_mapping(tmp_path, HEADERS) == MAPPING
    assert tomllib.loads(path.read_text("utf-8"))["report"] == {"name": "Käfer"}


def test_a_second_mapping_replaces_the_first_in_its_place(tmp_path: Path):
    path = tmp_path / "winrate.toml"
    remember_mapping(tmp_path, HEADERS, MAPPING)
    with path.open("a", encoding="utf-8") as file:
        file.write("\n[report]\nname = 'x'\n")
    remember_mapping(tmp_path, ("a", "b"), {"card": 1})
    remember_mapping(tmp_path, HEADERS, {"card": "Partien"})

    text = path.read_text("utf-8")
    assert remembered_mapping(tmp_path, HEADERS) == {"card": "Partien"}
    assert remembered_mapping(tmp_path, ("a", "b")) == {"card": 1}
    assert text.count(header_key(HEADERS)) == 1
    assert "\n\n[report]\nname = 'x'\n" in text
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_that_is_no_toml_is_refused_and_kept(tmp_path: Path):
    path = tmp_path / "winrate.toml"
    path.write_text("sure =", encoding="utf-8")

    with pytest.raises(SettingError, match=r"winrate\.toml: not TOML"):
        remember_mapping(tmp_path, HEADERS, MAPPING)
    with pytest.raises(SettingError, match="not TOML"):
        remembered_mapping(tmp_path, HEADERS)
    assert path.read_text("utf-8") == "sure ="


@pytest.mark.parametrize(
    "form", ['mapping."{}" = {{card = 1}}\n', '[ mapping."{}" ]\ncard = 1\n']
)
def test_a_mapping_written_another_way_is_not_overwritten(tmp_path: Path, form: str):
    path = tmp_path / "winrate.toml"
    written = form.format(header_key(HEADERS))
    path.write_text(written, encoding="utf-8")

    with pytest.raises(SettingError, match="cannot be replaced; delete it by hand"):
        remember_mapping(tmp_path, HEADERS, MAPPING)
    assert path.read_text("utf-8") == written


@pytest.mark.parametrize("value", ["3", "{card = 1.5}", "{card = true}"])
def test_a_mapping_of_another_shape_is_refused(tmp_path: Path, value: str):
    (tmp_path / "winrate.toml").write_text(f'[mapping]\n"{header_key(HEADERS)}" = {value}\n')

    with pytest.raises(SettingError, match="a mapping must give each role"):
        remembered_mapping(tmp_path, HEADERS)


def test_bytes_that_are_no_text_are_refused(tmp_path: Path):
    (tmp_path / "winrate.toml").write_bytes(b"\xff\xfe")

    with pytest.raises(SettingError, match="cannot be read as UTF-8"):
        remembered_mapping(tmp_path, HEADERS)


def test_a_folder_that_is_not_there_cannot_be_written(tmp_path: Path):
    with pytest.raises(OutputError, match="cannot write"):
        remember_mapping(tmp_path / "gone", HEADERS, MAPPING)


def test_reading_follows_what_is_remembered_unless_told_otherwise(tmp_path: Path):
    path = tmp_path / "cards.csv"
    path.write_text("a,b,c,d\nAsh,12,7,5\nTin,9,4,3\n", encoding="utf-8")
    remember_mapping(tmp_path, ("a", "b", "c", "d"), {"card": "a", "games": 2, "wins": "d"})

    assert read_cards(path).wins.tolist() == [5, 3]
    assert read_cards(path, columns={"wins": "c"}).wins.tolist() == [7, 4]
    assert (
        "columns follow the mapping remembered in winrate.toml" in read_cards(path).source.notes
    )
    assert inspect_cards(path, use_memory=False).unclear is not None


@pytest.mark.parametrize(
    "text", ["a = " + "[" * 5000, "a = " + "9" * 5000], ids=["deep", "long"]
)
def test_a_file_that_no_reader_can_hold_is_refused(text: str, tmp_path: Path):
    (tmp_path / "winrate.toml").write_text(text)

    with pytest.raises(SettingError, match="not TOML"):
        remembered_mapping(tmp_path, ["Card"])
