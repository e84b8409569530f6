import pytest

from winrate_tools.report.page.slim import slim_script, slim_style


@pytest.mark.parametrize(
    ("css", "slim"),
    [
        ("a { color: red; }", "a{color:red}"),
        ("a,\n  b { margin: 0 1px }", "a,b{margin:0 1px}"),
        ("p :nth-child(2) { }", "p :nth-child(2){}"),
        ('i::before { content: ", was: " }', 'i::before{content:", was: "}'),
        ("a { b: c; d: e; } i { }", "a{b:c;d:e}i{}"),
        ("a { color: var(--ground); }", "a{color:var(--g)}"),
        ("a { color: var(--ground,#ffffff) }", "a{color:var(--g)}"),
        (":root { --cut: #a83c00; --keep: #00664b }", ":root{--c:#a83c00;--k:#00664b}"),
        ("@media (min-height: 3rem) { a { } }", "@media (min-height:3rem){a{}}"),
        ("a > b:not(.c) { }\n\n", "a>b:not(.c){}"),
    ],
)
def test_a_style_sheet_loses_blanks_that_mean_nothing(css: str, slim: str):
    assert slim_style(css) == slim


@pytest.mark.parametrize(
    ("script", "slim"),
    [
        ("const a = 1;\nconst b = a;\n", "let a=1,b=a;"),
        ("const a = 1;\nf();\nconst b = a;\n", "let a=1;f();let b=a;"),
        ("let a = 1;\na = 2;\nlet b;", "let a=1;a=2;let b;"),
        ("const [a] = f;\nconst { it } = g;\nconst [c] = h;", "let[a]=f,{it:c}=g,[b]=h;"),
        ("const a = () => {\n  const b = 1;\n  const c = 2;\n};", "let a=()=>{let b=1,c=2};"),
        ("const a = () => {\n  f();\n};\nconst b = 2;", "let a=()=>{f()},b=2;"),
        ("for (const a of f) g();\nconst b = 2;", "for(let a of f)g();let a=2;"),
        ("for (const a of f) {\n  g(a);\n}\nconst b = 2;", "for(let b of f){g(b)}let a=2;"),
        ("f((a) => a, (b, c) => b);", "f(a=>a,(b,c)=>b);"),
        ("const f = (a) => {\n  return (b) => b;\n};", "let a=c=>{return(b)=>b};"),
        ("f(\n  a,\n  [b, c,],\n  { d: 1, },\n);", "f(a,[b,c],{d:1});"),
        ("// a remark\nf();\n  // another\ng();", "f();g();"),
        ('say("a  b, c");', 'say("a  b, c");'),
        ("return `${a} of ${b}`;", "return`${a} of ${b}`;"),
        ('return `${a + b}  of ${f(a, "b, c")} ;}`;', 'return`${a+b}  of ${f(a,"b, c")} ;}`;'),
        ('return "a, );" ;', 'return"a, );";'),
        ("const P = /^a +b$/;", "let a=/^a +b$/;"),
        ("x.replace(/ , /g, y)", "x.replace(/ , /g,y)"),
        ("say(`${a}, ` +\n  `b` + `${c}`);", "say(`${a}, b${c}`);"),
        ('say("`" + `a` + "`" + `b`);', 'say("`"+`a`+"`"+`b`);'),
        ('say("`+`", `a` + `b`);', 'say("`+`",`ab`);'),
        ("return -a;", "return-a;"),
        ("typeof x in y", "typeof x in y"),
        ('say("http://a", b);', 'say("http://a",b);'),
        ("(a / b) / c", "(a/b)/c"),
        ("const size = 1;\nsay(`${size} size`, size);", "let a=1;say(`${a} size`,a);"),
    ],
)
def test_a_script_loses_blanks_and_remarks_and_keeps_its_texts(script: str, slim: str):
    assert slim_script(script) == slim


def test_only_own_properties_become_short():
    script = "const it = { size: 1, colour: 2 };\nf(it.size, it.colour);"

    assert slim_script(script, ("size",)) == "let a={a:1,colour:2};f(a.a,a.colour);"
