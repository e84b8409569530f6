"""How the parts of every figure look; the page around it may choose the colours."""

from winrate_tools.report.figures.frame import EDGE
from winrate_tools.report.figures.marks import CLASSES
from winrate_tools.report.palette import DARK, LIGHT, colour, variables

FONT = "font-family:system-ui,'Segoe UI','DejaVu Sans',sans-serif"

RULES = "\n".join(
    (
        f".figure{{{FONT};font-size:11px;fill:{colour('ink')}}}",
        f".figure .soft{{fill:{colour('soft')}}}",
        ".figure .head{font-weight:600}",
        ".figure .end{text-anchor:end}",
        ".figure .middle{text-anchor:middle}",
        f".figure .rule{{stroke:{colour('rule')};fill:none}}",
        f".figure .axis{{stroke:{colour('soft')};fill:none}}",
        f".figure .line{{stroke:{colour('line')};stroke-width:1.5}}",
        f".figure .base{{stroke:{colour('soft')};stroke-dasharray:4 3}}",
        ".figure .line-label{font-weight:600;text-anchor:middle}",
        f".figure .over{{paint-order:stroke;stroke:{colour('ground')};stroke-width:3px}}",
        f".figure .cut{{color:{colour('cut')}}}",
        f".figure .keep{{color:{colour('keep')}}}",
        f".figure .wait{{color:{colour('wait')}}}",
        ".figure .range,.figure .wide,.figure .dot{stroke:currentColor}",
        ".figure .range{stroke-width:4}",
        ".figure .wide{stroke-width:1.3}",
        ".figure .none .range{stroke-dasharray:3 2}",
        ".figure .dot,.figure .hole{stroke-width:7.5;stroke-linecap:round}",
        f".figure .hole{{stroke:{colour('ground')};stroke-width:4.5}}",
        f".figure .even{{color:{colour('ink')}}}",
        f".figure .curve{{stroke:{colour('soft')};stroke-width:1.2;fill:none}}",
        ".figure .fill{fill:currentColor}",
        ".figure .faint{fill-opacity:.4;stroke:currentColor}",
        ".figure .mark{fill:currentColor;font-size:9px}",
    )
)
"""Style sheet for figures inside a page; outside `.figure` it changes nothing."""


PAGE_RULES = "\n".join(
    (
        f".figure{{font-size:11px;fill:{colour('ink')}}}",
        RULES.partition("\n")[2].replace(".figure ", ""),
        "marker{overflow:visible}",
        ".dots{fill:none}",
        *(f".dots.{name}{{marker:url(#dot-{name})}}" for name in CLASSES.values()),
    )
)
"""Style sheet for figures of a page with nothing else of these classes, and with a font.

Their dots are corners that the page's shapes mark.
"""


def standalone(svg: str) -> str:
    """Make a figure a file of its own, light or dark as its reader prefers.

    Returns
    -------
    str
        The same with its style sheet and a ground inside, ending in a line break.
    """
    themes = (
        f":root{{{variables(LIGHT)}}}\n"
        f"@media (prefers-color-scheme:dark){{:root{{{variables(DARK)}}}}}"
    )
    ground = (
        f'<rect x="{-EDGE}" y="{-EDGE}" width="100%" height="100%" fill="{colour("ground")}"/>'
    )
    opening, rest = svg.split(">", 1)
    return f"{opening}><style>{themes}\n{RULES}</style>{ground}{rest}\n"
