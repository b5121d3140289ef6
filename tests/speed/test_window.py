"""How quick the window is, as a report: the table of `tests.speed.table` on this machine. Nothing fails on time."""

import pytest

from tests.speed.machines import quiet_machine
from tests.speed.report import say
from tests.speed.table import ROOT, ROWS, told

pytestmark = pytest.mark.speed


def test_each_row_of_the_table_has_a_figure() -> None:
    lines = list(told([quiet_machine()], [ROOT], ROWS))
    for line in lines:
        say(line)
    assert [line.split(" | ")[0] for line in lines[1 : 1 + len(ROWS)]] == [row.words for row in ROWS]
