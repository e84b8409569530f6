"""Reading figures back: what is drawn, and where."""

from xml.etree import ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"


def drawn(svg: str) -> ET.Element:
    """Parse a figure, which has to be one well-formed element."""
    return ET.fromstring(svg)


def of_class(root: ET.Element, name: str, tag: str = "*") -> list[ET.Element]:
    """Find the elements of a class, in drawing order."""
    found = root.iter() if tag == "*" else root.iter(f"{SVG}{tag}")
    return [one for one in found if name in one.get("class", "").split()]


def texts(root: ET.Element) -> list[str]:
    """Return everything that is written, in drawing order."""
    return [one.text or "" for one in root.iter(f"{SVG}text")]


def ends(line: ET.Element) -> tuple[float, float]:
    """Return where a line begins and ends across."""
    return float(line.get("x1", "nan")), float(line.get("x2", "nan"))
