"""The table of what was tried holds what is wanted of it, but for the lines that the manual says miss."""

from __future__ import annotations

import re

import pytest

from shopclock.places import resource
from tests.plenty import few
from tests.truth.table import GROUPS, Group, measured

SHOPS = 120
SURE = 3.0
"""Monte-Carlo errors by which a line may lie beyond what is wanted, or off what the manual says."""


def in_the_manual() -> dict[str, tuple[float, bool]]:
    """What the manual's table has for each line, and whether it says that it misses."""
    page = resource("manual", "figures.md").read_text(encoding="utf-8")
    lines = re.findall(r"^\| (.+?) \| ×?([0-9.]+) ± [0-9.]+(?: %)? \| .+? \| (misses)? ?\|$", page, flags=re.MULTILINE)
    return {what: (float(value), bool(misses)) for what, value, misses in lines}


def test_the_manual_has_every_line() -> None:
    wanted = {line.what for group in GROUPS for line in group.lines}
    assert set(in_the_manual()) == wanted


@pytest.mark.long
@pytest.mark.parametrize("group", few(GROUPS), ids=lambda group: group.lines[0].what)
def test_each_line_holds_and_is_as_the_manual_says(group: Group) -> None:
    told = in_the_manual()
    for one in measured(group, SHOPS):
        print(one.text())  # noqa: T201  the figures are asked for
        value, misses = told[one.line.what]
        give = SURE * max(one.error, 0.01 if one.line.times else 1.0)
        assert abs(one.value - value) <= 1.5 * give
        if not misses:
            assert one.line.least - give <= one.value <= one.line.most + give
