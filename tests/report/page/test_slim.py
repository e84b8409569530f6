import pytest

from winrate_tools.report.page.slim import slim_picture, slim_script, slim_style


@pytest.mark.parametrize(
    ("svg", "slim"),
    [
        ('<circle class="dot" r="3"/>', "<circle class=dot r=3 />"),
        ('<g class="row cut" data-i="0">', '<g class="row cut" data-i=0>'),
        ('<text x="-2.5">a="b"</text>', '<text x=-2.5>a="b"</text>'),
        ('<use href="#a-b" x="1"/>', "<use href=#a-b x=1 />"),
        (
            '<g class="cut"><use href="#a-cut" x="1" y="2.5"><title>A</title></use>'
            '<use href="#a-cut" x="3" y="4"><title>B</title></use></g>',
            '<polyline class="dots cut" points="1,2.5 3,4"/>',
        ),
        ('<defs><path id="a-cut" d="M0 1"/></defs>\n<g id="b"></g>', "<g id=b></g>"),
        ('<defs><g id="a-scale"></g></defs>', "<defs><g id=a-scale></g></defs>"),
        ('<g transform="translate(0,7.5)">', "<g transform=translate(0,7.5)>"),
        ('<svg xmlns="http://www.w3.org/2000/svg" width="7">', "<svg width=7>"),
        ('<path d="M0 1h8"/>', '<path d="M0 1h8"/>'),
        ('<text class="">', '<text class="">'),
    ],
)
def test_quotes_go_where_html_needs_none(svg: str, slim: str):
    assert slim_picture(svg) == slim


@pytest.mark.parametrize(
    ("css", "slim"),
    [
        ("a { color: red; }", "a{color:red;}"),
        ("a,\n  b { margin: 0 1px }", "a,b{margin:0 1px}"),
        ("p :nth-child(2) { }", "p :nth-child(2){}"),
        ('i::before { content: ", was: " }', 'i::before{content:", was: "}'),
        ("@media (min-height: 3rem) { a { } }", "@media (min-height:3rem){a{}}"),
        ("a > b:not(.c) { }\n\n", "a>b:not(.c){}"),
    ],
)
def test_a_style_sheet_loses_blanks_that_mean_nothing(css: str, slim: str):
    assert slim_style(css) == slim


@pytest.mark.parametrize(
    ("script", "slim"),
    [
        ("const a = 1;\nconst b = a;\n", "let a=1;let b=a;"),
        ("// a remark\nf();\n  // another\ng();", "f();g();"),
        ('say("a  b, c");', 'say("a  b, c");'),
        ("return `${a} of ${b}`;", "return `${a} of ${b}`;"),
        ("const P = /^a +b$/;", "let P=/^a +b$/;"),
        ("x.replace(/ , /g, y)", "x.replace(/ , /g,y)"),
        ("return -a;", "return-a;"),
        ("typeof x in y", "typeof x in y"),
        ('say("http://a", b);', 'say("http://a",b);'),
        ("(a / b) / c", "(a/b)/c"),
        ("const size = 1;\nsay(`${size} size`, size);", "let a=1;say(`${a} size`,a);"),
    ],
)
def test_a_script_loses_blanks_and_remarks_and_keeps_its_texts(script: str, slim: str):
    assert slim_script(script) == slim
