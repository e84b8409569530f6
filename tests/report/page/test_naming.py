"""Short names for what only a script knows."""

import re

import pytest

from winrate_tools.report.page.naming import renamed


@pytest.mark.parametrize(
    ("script", "wanted"),
    [
        ("const size = 2; let count = size;", "const a = 2; let b = a;"),
        (
            "const twice = (rate, ...rest) => rate + rate;",
            "const a = (b, ...c) => b + b;",
        ),
        ("const [low, high] = f(high);", "const [b, a] = f(a);"),
        ("for (const [name, text] of all) say(name);", "for (const [a, b] of all) say(a);"),
        ("const f = (x, root = document) => root;", "const a = (c, b = document) => b;"),
        ("const f = (x, y = g(x, 1), z) => z + z;", "const a = (c, d = g(c, 1), b) => b + b;"),
        (
            "const size = 2; f(`size ${size + size}`); const count = 1;",
            "const a = 2; f(`size ${a + a}`); const b = 1;",
        ),
        ("const rows = 1; f(...rows);", "const a = 1; f(...a);"),
        ("f(`${all.map((each) => each)}`);", "f(`${all.map((a) => a)}`);"),
    ],
)
def test_names_that_a_script_gives_become_short_the_most_used_first(script: str, wanted: str):
    assert renamed(script) == wanted


@pytest.mark.parametrize(
    ("script", "wanted"),
    [
        ("const size = 2; f(box.size);", "const a = 2; f(box.size);"),
        ("const size = 2; f(box?.size);", "const a = 2; f(box?.size);"),
        ("const size = 2; f({ size: 3 });", "const a = 2; f({ size: 3 });"),
        ('const size = 2; f({ "size": size });', 'const a = 2; f({ "size": a });'),
        ("const size = 2; f({ size });", "const a = 2; f({ size:a });"),
        ("const size = 2; f({ ...size });", "const a = 2; f({ ...a });"),
        ("const { size } = g(); f(size);", "const { size:a } = g(); f(a);"),
        ("const f = ({ names, of }) => names;", "const a = ({ names:b, of }) => b;"),
        ("f(`${box.size}`);", "f(`${box.size}`);"),
        ("const size = 2; f(1, size, 2);", "const a = 2; f(1, a, 2);"),
        ("const size = 2; f([1, size, 2]);", "const a = 2; f([1, a, 2]);"),
        ("f(size ? size : document);", "f(size ? size : document);"),
        ("const e6 = 1; f(1e6, e6);", "const a = 1; f(1e6, a);"),
    ],
)
def test_what_others_may_know_by_its_name_keeps_it(script: str, wanted: str):
    assert renamed(script) == wanted


def test_a_short_name_is_no_name_that_is_there_already():
    assert renamed("const size = 2; const rate = a + c + d.b;") == (
        "const e = 2; const b = a + c + d.b;"
    )


def test_a_name_inside_a_statement_is_short_there_and_free_again_in_the_next():
    script = "const one = (rate) => { const text = rate; }; const two = (text) => one(text);"

    assert renamed(script) == "const a = (b) => { const c = b; }; const b = (c) => a(c);"


def test_a_name_inside_a_statement_is_none_that_the_statement_knows_from_outside():
    script = "const one = 1; const two = (three) => { const four = one; return three; };"

    assert renamed(script) == ("const a = 1; const b = (c) => { const d = a; return c; };")


def test_a_name_that_is_given_inside_too_is_short_in_the_same_way():
    assert renamed("const size = 2; const twice = (size) => size; f(size);") == (
        "const a = 2; const b = (a) => a; f(a);"
    )


def test_names_stay_apart_however_many_there_are_and_are_no_words_of_the_language():
    script = "".join(f"const name{i} = {i};" for i in range(2000))

    names = re.findall(r"const (\w+) =", renamed(script))

    assert len(names) == len(set(names)) == 2000
    assert not {"do", "if", "in", "of"} & set(names)


@pytest.mark.parametrize(
    ("code", "wanted"),
    [
        ("size + sizes + size2", "a + sizes + size2"),
        ('say("size");', 'say("size");'),
        ("x.replace(/size/g, size)", "x.replace(/size/g, a)"),
        ("`size ${size} ${f(size)} size`", "`size ${a} ${f(a)} size`"),
        ('`${size === "size" ? 1 : 2}`', '`${a === "size" ? 1 : 2}`'),
    ],
)
def test_only_code_is_renamed(code: str, wanted: str):
    assert renamed(f"const size = 1; {code}") == f"const a = 1; {wanted}"


@pytest.mark.parametrize(
    ("script", "wanted"),
    [
        ("f({ size: 1 }, box.size);", "f({ a: 1 }, box.a);"),
        ("const size = 1; f({ size });", "const a = 1; f({ a });"),
        ("const size = 1; f({ size, a: 2 });", "const a = 1; f({ b:a, a: 2 });"),
        ('f({ "size": 1 }, box["size"]);', 'f({ "size": 1 }, box["size"]);'),
        ("f(`${box?.size}`);", "f(`${box?.a}`);"),
        ("f(size, box.rate);", "f(size, box.rate);"),
    ],
)
def test_properties_become_short_if_nobody_else_knows_them(script: str, wanted: str):
    assert renamed(script, own={"size"}) == wanted
