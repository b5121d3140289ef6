"""An SVG as every reader draws it: widths that are final, coordinates on the page, a font that there always is.

Qt writes lines of one width whatever the scale as `vector-effect="non-scaling-stroke"` (SVG Tiny 1.2), which librsvg
before 2.55 and CairoSVG don't know: they scale the width of the pen with the chart's axes and draw bars and blobs.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

if TYPE_CHECKING:
    from collections.abc import Iterator

    Matrix = tuple[float, float, float, float, float, float]

SVG = "http://www.w3.org/2000/svg"
FALLBACK = "'DejaVu Sans', sans-serif"
"""Fonts after the program's own, which other computers hardly have."""
NUMBER = re.compile(r"-?[\d.]+(?:e[-+]?\d+)?")
STEP = re.compile(r"([MLC])\s*([^MLCZ]*)|(Z)")
PLACES = 3
"""Digits behind the point: a thousandth of a pixel."""


def final(svg: bytes) -> bytes:
    """Return a picture that Qt wrote with its lines' widths and places worked out, and fonts to fall back on."""
    ET.register_namespace("", SVG)
    root = ET.fromstring(svg)  # noqa: S314 - what Qt has just written
    for parent in list(root.iter(f"{{{SVG}}}g")):
        for group in list(parent):
            if group.tag == f"{{{SVG}}}g":
                _settle(parent, group)
    for element in root.iter():
        family = element.get("font-family")
        if family is not None:
            own = "sans-serif" if family == "Sans Serif" else f"{family}, {FALLBACK}"
            element.set("font-family", own)
    return bytes(ET.tostring(root, encoding="utf-8", xml_declaration=True))


def _settle(parent: ET.Element, group: ET.Element) -> None:
    """Put the shapes of a group whose lines don't scale on the page itself; a group with nothing in it goes."""
    own = [shape for shape in group if shape.get("vector-effect") == "non-scaling-stroke"]
    if not len(group):
        parent.remove(group)
        return
    if not own:
        return
    matrix = _matrix(group.get("transform", ""))
    settled = ET.Element(group.tag, {k: v for k, v in group.attrib.items() if k != "transform"})
    for shape in own:
        group.remove(shape)
        settled.append(_on_page(shape, matrix))
    place = list(parent).index(group)
    parent.insert(place, settled)
    if not len(group):
        parent.remove(group)


def _matrix(transform: str) -> Matrix:
    numbers = [float(n) for n in NUMBER.findall(transform)]
    if len(numbers) != 6:
        return 1.0, 0.0, 0.0, 1.0, 0.0, 0.0
    a, b, c, d, e, f = numbers
    return a, b, c, d, e, f


def _on_page(shape: ET.Element, matrix: Matrix) -> ET.Element:
    kept = {
        k: v for k, v in shape.attrib.items() if k not in ("vector-effect", "d", "points", "x", "y", "width", "height")
    }
    kind = shape.tag.removeprefix(f"{{{SVG}}}")
    if kind == "path":
        return ET.Element(shape.tag, {**kept, "d": " ".join(_steps(shape.get("d", ""), matrix))})
    if kind in ("polyline", "polygon"):
        return ET.Element(shape.tag, {**kept, "points": " ".join(_pairs(shape.get("points", ""), matrix))})
    if kind == "rect":
        x, y, wide, high = (float(shape.get(name, "0")) for name in ("x", "y", "width", "height"))
        corners = f"{x},{y} {x + wide},{y} {x + wide},{y + high} {x},{y + high}"
        return ET.Element(f"{{{SVG}}}polygon", {**kept, "points": " ".join(_pairs(corners, matrix))})
    message = f"Qt wrote a {kind} whose line doesn't scale."
    raise ValueError(message)


def _steps(path: str, matrix: Matrix) -> Iterator[str]:
    for letter, numbers, end in STEP.findall(path):
        yield end or letter + " ".join(_pairs(numbers, matrix))


def _pairs(text: str, matrix: Matrix) -> Iterator[str]:
    a, b, c, d, e, f = matrix
    numbers = [float(n) for n in NUMBER.findall(text)]
    for x, y in zip(numbers[::2], numbers[1::2], strict=True):
        yield f"{round(a * x + c * y + e, PLACES):g},{round(b * x + d * y + f, PLACES):g}"
