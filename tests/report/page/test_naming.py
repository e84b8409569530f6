import pytest

from winrate_tools.report.page.naming import renamed, short_names


@pytest.mark.parametrize(
    ("script", "named"),
    [
        ("const size = 2; let count = size;", {"size": "a", "count": "b"}),
        (
            "const twice = (rate, ...rest) => rate + rate;",
            {"rate": "a", "rest": "b", "twice": "c"},
        ),
        ("const [low, high] = f(high);", {"high": "a", "low": "b"}),
        ("for (const [name, text] of all) say(name);", {"name": "a", "text": "b"}),
        ("const f = (x, root = document) => root;", {"root": "a"}),
        (
            "const size = 2; f(`size ${size + size}`); const count = 1;",
            {"size": "a", "count": "b"},
        ),
        ("const rows = 1; f(...rows);", {"rows": "a"}),
    ],
)
def test_names_that_a_script_gives_become_short_the_most_used_first(script: str, named):
    assert short_names(script) == named


@pytest.mark.parametrize(
    "script",
    [
        "const size = 2; f(box.size);",
        "const size = 2; f(box?.size);",
        "const size = 2; f({ size: 3 });",
        "const size = 2; f({ size });",
        "const size = 2; f({ a, size, b });",
        "const size = 2; const { size } = g();",
        "const size = 2; f(`${box.size}`);",
        "const ab = 2;",
        "f(document);",
    ],
)
def test_what_others_may_know_by_its_name_keeps_it(script: str):
    assert short_names(script) == {}


def test_a_short_name_is_no_name_that_is_there_already():
    named = short_names("const size = 2; const rate = a + c + d.b;")

    assert named == {"rate": "e", "size": "f"}


def test_names_stay_apart_however_many_there_are_and_are_no_words_of_the_language():
    script = "".join(f"const name{i} = {i};" for i in range(2000))

    named = short_names(script)

    assert len(named) == len(set(named.values())) == 2000
    assert not {"do", "if", "in", "of"} & set(named.values())


@pytest.mark.parametrize(
    ("script", "wanted"),
    [
        ("size + sizes + size2", "a + sizes + size2"),
        ('say("size");', 'say("size");'),
        ("x.replace(/size/g, size)", "x.replace(/size/g, a)"),
        ("`size ${size} ${f(size)} size`", "`size ${a} ${f(a)} size`"),
        ('`${size === "size" ? 1 : 2}`', '`${a === "size" ? 1 : 2}`'),
    ],
)
def test_only_code_is_renamed(script: str, wanted: str):
    assert renamed(script, {"size": "a"}) == wanted
