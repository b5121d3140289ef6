"""Widths and places of an SVG are worked out: no reader has to know what a line that doesn't scale is."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from shopclock.widgets.svg_final import SVG, final

WRITTEN = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><g stroke-linejoin="bevel">
<g stroke="#112233" stroke-width="2" transform="matrix(10,0,0,-2,5,50)" font-family="Sans Serif">{shapes}</g>
</g></svg>"""
WIDE = 'vector-effect="non-scaling-stroke"'


def shapes_of(written: str) -> list[tuple[str, dict[str, str], str]]:
    """Each shape with its attributes and the transform of its group."""
    root = ET.fromstring(final(WRITTEN.format(shapes=written).encode()))  # noqa: S314 - written above
    groups = [group for group in root.iter(f"{{{SVG}}}g") if len(group)]
    return [
        (shape.tag.removeprefix(f"{{{SVG}}}"), dict(shape.attrib), group.get("transform", ""))
        for group in groups
        for shape in group
        if not shape.tag.endswith("}g")
    ]


@pytest.mark.parametrize(
    ("written", "kind", "name", "places"),
    [
        (f'<path {WIDE} d="M0,0 L1,10 C1,2 3,4 5,-6 Z "/>', "path", "d", "M5,50 L15,30 C15,46 35,42 55,62 Z"),
        (f'<polyline {WIDE} points="0,0 1.5,1e1 "/>', "polyline", "points", "5,50 20,30"),
        (f'<rect {WIDE} x="1" y="2" width="3" height="4"/>', "polygon", "points", "15,46 45,46 45,38 15,38"),
    ],
)
def test_a_line_that_does_not_scale_stands_on_the_page_itself(written: str, kind: str, name: str, places: str) -> None:
    """X goes ten times and 5 on, y twice, upside down from 50; the width of the pen stays as it is."""
    ((made, attributes, transform),) = shapes_of(written)
    assert (made, transform) == (kind, "")
    assert attributes == {name: places}


def test_what_scales_keeps_its_place_beside_what_does_not() -> None:
    found = shapes_of(f'<polyline {WIDE} points="0,0 1,1"/><rect x="1" y="2" width="3" height="4"/>')
    assert [(kind, transform) for kind, _, transform in found] == [("polyline", ""), ("rect", "matrix(10,0,0,-2,5,50)")]


def test_a_group_with_nothing_in_it_goes() -> None:
    assert final(WRITTEN.format(shapes="").encode()).count(b"<g ") == 1


def test_what_is_not_known_is_refused_rather_than_drawn_wrong() -> None:
    with pytest.raises(ValueError, match="circle"):
        final(WRITTEN.format(shapes=f'<circle {WIDE} cx="1" cy="1" r="2"/>').encode())
