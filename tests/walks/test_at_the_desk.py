"""Stories at a real window under a window manager, pressed with the machine's own pointer: no answer is lost."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from shopclock.record.press.record import Record
from shopclock.shop.values.clock import SystemClock
from tests.exchange.notes.test_notebooks import DIARY, LOG, written_workbook
from tests.walks.desk import desk, missing, walk_at_the_desk
from tests.walks.test_notebook import DIARY_IN

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

pytestmark = pytest.mark.skipif(bool(missing()), reason=f"no window manager to walk under: {missing()} not installed")
COMPARED = "press Trends\nread_on To be won:\n"
"""Lines of the table that move under the hand take no press: it waits for the last that does."""


@pytest.fixture(scope="module")
def display() -> Iterator[str]:
    with desk() as name:
        yield name


def test_a_chain_of_questions_ends_in_its_answer_where_nothing_held_the_keyboard_at_first(
    display: str, tmp_path: Path
) -> None:
    story = """
        press Plan
        press Promise or order
        no_focus
        press 2 knives
        press 4
        press OK
        read_on 4 knives
        press any day
        press Later
        press {first:%B}
        press 12
        read_on 12 {first:%b}: that holds
        press Plan
        press Costs
        read_on than is asked
        press Oyster
        read_on costs EUR
    """
    first = datetime.now(UTC).date() + timedelta(days=40)
    seen = walk_at_the_desk(display, tmp_path, story.format(first=first))
    assert not any("mistake" in said for then in seen for said in then.read)
    assert any("asked EUR" in said for said in seen[-1].read)
    assert any(said.startswith("Labour") for said in seen[-1].read)


FOUR_TO_ONE = """
    press Plan
    press Promise or order
    press 2 knives
    press 4
    press OK
    read_on 4 unpromised of
    press Take the order
    type Brook
    read_on All of it has its letters.
"""
REFUSED_TO_ANOTHER = """
    press Back
    press Promise or order
    press 2 knives
    press 4
    press OK
    press any day
    press {soon.day} {soon:%b}
    read_on Not by
    read_on 8 times in 10
"""
WHAT_EACH_COSTS = """
    press Plan
    press Costs
    read_on than is asked
"""
A_QUOTE_GOES_OUT = """
    press Plan
    press Brook
    press Price
    press OK
    press Quote
    read_on Saved as Quote
    press OK
"""


def presses(story: str) -> int:
    """Count what a hand does: each press, and a name that is typed."""
    return sum(line.split()[0] in ("press", "type") for line in story.split("\n") if line.strip())


def test_four_go_to_one_another_is_refused_with_the_next_day_and_a_quote_goes_out(display: str, tmp_path: Path) -> None:
    soon = datetime.now(UTC).date() + timedelta(days=3)
    story = FOUR_TO_ONE + REFUSED_TO_ANOTHER.format(soon=soon) + WHAT_EACH_COSTS + A_QUOTE_GOES_OUT
    seen = walk_at_the_desk(display, tmp_path, story)
    assert not any("mistake" in said for then in seen for said in then.read)
    costs = next(then for then in seen if then.line == "read_on than is asked")
    told = " ".join((*costs.read, *costs.reach))
    assert all(pattern in told for pattern in ("Oyster", "Paring 95", "Cook's 180"))
    refused = next(then for then in seen if then.line == "read_on Not by")
    assert any("holds hardly ever" in said and "knives by" in said for said in refused.read)
    (quote,) = tmp_path.rglob("Quote *.pdf")
    assert quote.read_bytes().startswith(b"%PDF-")
    assert [presses(part) for part in (FOUR_TO_ONE, REFUSED_TO_ANOTHER, WHAT_EACH_COSTS, A_QUOTE_GOES_OUT)] == [
        7,
        7,
        2,
        6,
    ]


LOG_IN = """
    seek In and out
    press Old notes
    seek log 2025.csv
    press Lengths
    press Timed by a clock
    press Bring all in
"""
WORKBOOK_IN = """
    seek In and out
    press Old notes
    seek Werkstattbuch.xlsx
    press Lengths
    press Timed by a clock
    press Bring all in
    read_on Jan-Jun is in the record.
    press Jul-Dez
    press Bring all in
    read_on Jul-Dez is in the record.
"""


@pytest.mark.parametrize(
    ("laid", "brought", "stage", "batches", "methods"),
    [
        (lambda folder: shutil.copy(DIARY, folder), DIARY_IN, "bevels", 8, ("free hand", "jig")),
        (lambda folder: shutil.copy(LOG, folder), LOG_IN, "Bevels", 9, ("by hand", "jig")),
        (written_workbook, WORKBOOK_IN, "Fase", 8, ("freihand", "vorrichtung")),
    ],
    ids=["a diary in English", "a log with times of day", "a German workbook of two sheets"],
)
def test_a_messy_notebook_is_in_and_shows_in_trends(
    display: str, tmp_path: Path, laid: Callable[[Path], object], brought: str, stage: str, batches: int,
    methods: tuple[str, str],
) -> None:  # fmt: skip
    record = tmp_path / "shop.shopclock"
    Record.open(record, SystemClock(), make=True, zone="Europe/Dublin").close()
    laid(tmp_path)
    story = f"press Shop\n{brought}read_on is in the record.\n{COMPARED}press {stage}\n"
    seen = walk_at_the_desk(display, tmp_path, f"{story}read_on {batches} batches are from notes.\n", record)
    told = " ".join((*seen[-1].read, *seen[-1].reach)).lower()
    assert all(method in told for method in methods)
    assert not any("mistake" in said for then in seen for said in then.read)
