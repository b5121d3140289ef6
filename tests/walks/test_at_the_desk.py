"""Stories at a real window under a window manager, pressed with the machine's own pointer: no answer is lost."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from shopclock.record.press.record import Record
from shopclock.shop.values.clock import SystemClock
from tests.exchange.notes.test_notebooks import DIARY
from tests.walks.desk import desk, missing, walk_at_the_desk
from tests.walks.test_notebook import DIARY_IN

if TYPE_CHECKING:
    from collections.abc import Iterator
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


def test_a_messy_notebook_is_in_and_shows_in_trends(display: str, tmp_path: Path) -> None:
    record = tmp_path / "shop.shopclock"
    Record.open(record, SystemClock(), make=True, zone="Europe/Dublin").close()
    shutil.copy(DIARY, tmp_path)
    story = f"press Shop\n{DIARY_IN}read_on is in the record.\n{COMPARED}press bevels\nread_on are from notes.\n"
    seen = walk_at_the_desk(display, tmp_path, story, record)
    assert any("free hand" in said.lower() for said in (*seen[-1].read, *seen[-1].reach))
