"""The line of a key is told right, however the file is laid out."""

import pytest

from shopclock.shop.routes.route_fault import Place
from shopclock.shop.routes.route_file import line_of

TEXT = '''\
# a comment with [[step]] in it
name = "Paring knife"

note = """
[[step]]
kind = "not a key"
"""
[[step]]            # the first
  stage = "Saw out"
kind = "hands-on"
methods = [
  "bandsaw",  # [[step]]
  "hacksaw",
]
"minutes" = 9

[[step.reading]]
name = "Length"

[[ step . reading ]]
name = "Width"

[[step]]
stage = "Profile"
[[step.reading]]
name = "Thickness"
[[rule]]
kind = "before"'''


@pytest.mark.parametrize(
    ("place", "key", "line"),
    [
        ((), "name", 2),
        ((), "note", 4),
        (("step", 0), "", 8),
        (("step", 0), "stage", 9),
        (("step", 0), "kind", 10),
        (("step", 0), "methods", 11),
        (("step", 0), "minutes", 15),
        (("step", 0, "reading", 0), "name", 18),
        (("step", 0, "reading", 1), "name", 21),
        (("step", 1), "stage", 24),
        (("step", 1, "reading", 0), "name", 26),
        (("rule", 0), "kind", 28),
    ],
)
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_a_key_stands_on_its_line(place: Place, key: str, line: int, newline: str) -> None:
    assert line_of(TEXT.replace("\n", newline), place, key) == line


@pytest.mark.parametrize(
    ("place", "key", "line"),
    [((), "outline", 1), (("step", 1), "kind", 23), (("step", 0, "reading", 1), "low", 20), (("rule", 0), "then", 27)],
)
def test_a_key_that_is_missing_is_told_at_the_head_of_its_table(place: Place, key: str, line: int) -> None:
    assert line_of(TEXT, place, key) == line


def test_steps_written_in_one_list_are_told_at_that_list() -> None:
    text = 'name = "Mug"\nstep = [\n  { stage = "Throw" },\n  { stage = "Trim" },\n]\n'
    assert line_of(text, ("step", 1), "kind") == 2


def test_a_table_with_single_brackets_is_told_at_its_header() -> None:
    assert line_of('name = "Mug"\n\n[step]\nstage = "Throw"\n', (), "step") == 3
