"""Reading figures back: what is drawn, and where."""

import re
from typing import NamedTuple
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


class Row(NamedTuple):
    """A name, what its range looks like and where its parts lie."""

    name: str
    look: list[str]
    glyph: str
    wide: tuple[float, float] | None
    range: tuple[float, float]
    centre: float
    y: float


def rows(root: ET.Element, dots: str) -> list[Row]:
    """Return the rows of ranges from top to bottom, by the heights of their names.

    Each row has one range, one dot and one mark, and all ranges, dots and marks have a row.
    """
    [names] = of_class(root, "names", "g")
    drawn = {"wide": {}, "range": {}, "glyph": {}, "look": {}}
    for group in root.iter(f"{SVG}g"):
        for path in group.findall(f"{SVG}path"):
            if path.get("class") in {"wide", "range"} and len(group) > 1:
                drawn[path.get("class")] |= spans(path)
                drawn["look"] |= {y: group.get("class").split() for y in spans(path)}
        for mark in group.findall(f"{SVG}text[@class='mark']"):
            heights = [float(y) - 3 for y in mark.get("y").split()]
            if group.find(f"{SVG}path") is not None:
                drawn["glyph"] |= dict(zip(heights, mark.text, strict=True))
    points = {y: x for path in dotted(root, dots) for x, y in path}
    heights = [float(name.get("y")) - 4 for name in names]
    assert set(heights) == set(points) == set(drawn["range"]) == set(drawn["glyph"])
    return [
        Row(
            name.text,
            drawn["look"][y],
            drawn["glyph"][y],
            drawn["wide"].get(y),
            drawn["range"][y],
            points[y],
            y,
        )
        for name, y in zip(names, heights, strict=True)
    ]


def spans(path: ET.Element) -> dict[float, tuple[float, float]]:
    """Return the ends of the level lines of a path by their heights."""
    found = re.findall(r"M([\d.]+) ([\d.]+)H([\d.]+)", path.get("d"))
    assert "".join(f"M{a} {y}H{b}" for a, y, b in found) == path.get("d")
    return {float(y): (float(a), float(b)) for a, y, b in found}


def dotted(root: ET.Element, name: str) -> list[list[tuple[float, float]]]:
    """Return the places of the dots of each look."""
    [group] = [one for one in root.iter(f"{SVG}g") if one.get("id") == name]
    return [
        [(float(x), float(y)) for x, y in re.findall(r"M([\d.]+) ([\d.]+)h0", path.get("d"))]
        for path in group
    ]
