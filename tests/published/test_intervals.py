"""Overlapping intervals against shared/published/intervals.toml."""

import portion
import pytest

from shopclock.shop.figures.labour import labour_of, parts
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind
from tests.published.tables import tables

MINUTE_US = 60_000_000
EXAMPLE = tables("intervals")["example"]
SPANS = EXAMPLE["spans_min"]


def interval(number: int, start: int, end: int, pieces: int = 1, kind: Kind = Kind.HANDS_ON) -> Interval:
    return Interval(
        id=number, uuid=str(number), batch_id=1, step_id=1, stage_id=1, maker_id=1, method_id=None, kind=kind,
        work=WorkKind.RUN, cause_step_id=None, start_us=start * MINUTE_US, end_us=end * MINUTE_US,
        start_sure=Certainty.PRESSED, end_sure=Certainty.PRESSED, continues_id=None, together=True, shop_c=None,
        load_id=None,
        pieces=tuple(range(pieces)),
    )  # fmt: skip


@pytest.mark.parametrize("kind", [Kind.HANDS_ON, Kind.WATCH])
def test_labour_is_the_union_of_the_published_example(kind: Kind) -> None:
    labour = labour_of(parts([interval(n, *span, kind=kind) for n, span in enumerate(SPANS)]))
    assert sum(labour.values()) == EXAMPLE["union_min"] * MINUTE_US
    assert labour[5] == 0


def test_alone_and_two_at_once_are_the_published_ones() -> None:
    """Alone an interval gets all of its time, two at once get half each of what both have in common."""
    found = parts([interval(n, *span) for n, span in enumerate(SPANS)])
    length, alone = 0, 0
    for some in found.values():
        for part in some:
            length += part.end_us - part.start_us
            alone += part.labour_us if part.labour_us == part.end_us - part.start_us else 0
    assert length == EXAMPLE["sum_min"] * MINUTE_US
    assert alone == EXAMPLE["alone_min"] * MINUTE_US
    assert length - alone == 2 * EXAMPLE["two_at_once_min"] * MINUTE_US


def test_the_library_and_the_published_example_agree() -> None:
    union = portion.empty()
    for start, end in SPANS:
        union |= portion.closedopen(start, end)
    assert sum(part.upper - part.lower for part in union) == EXAMPLE["union_min"]
