"""Facts on the review of a batch: sentence, bars, days, losses, readings, next time."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from shopclock.exchange.paper.source import Source, dated, day_of, shop_name
from shopclock.shop.review.review import Day, days, losses, review
from shopclock.shop.review.sentences import answer, hands_on_text, loss_text, makers_text, more
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import length_text
from shopclock.shop.values.entities import Batch, Pattern, Reading, ReadingKind
from shopclock.shop.work.readings import measured, outside, target, whose
from shopclock.views.bars_picture import BarsPicture, LinesPicture
from shopclock.views.review_pictures import bars, time_lines

MOST_IDLE = 2
"""Days in a row without work that get a line each."""


@dataclass(frozen=True, slots=True)
class ReviewSheet:
    """All that stands on the review of a batch."""

    shop: str
    title: str
    as_of: str
    answer: str
    more: str
    bars: BarsPicture
    losses: tuple[str, ...]
    days: LinesPicture
    readings: tuple[tuple[str, str], ...]
    next_time: str


def review_facts(source: Source, batch_id: int, now_us: int) -> ReviewSheet:
    """Read off what the review of a batch says."""
    floor = source.load_batch(batch_id)
    found = review(floor, source.reads.stage_rows(now_us), batch_id, now_us)
    batch, worked = floor.get(Batch, batch_id), days(floor, batch_id, now_us)
    share, whose = hands_on_text(found), makers_text(floor, batch_id, now_us)
    return ReviewSheet(
        shop=shop_name(floor),
        title=f"{batch.name} {floor.get(Pattern, batch.pattern_id).name}",
        as_of=f"Written {dated(day_of(floor, now_us))}",
        answer=answer(floor, found.figures),
        more=" ".join(s for s in (more(floor, found), f"{share[:1].upper()}{share[1:]}." if share else "", whose) if s),
        bars=bars(floor, found, by_size=False),
        losses=tuple(
            f"{loss_text(loss)}, {loss.reason or 'no reason noted'}: {length_text(loss.us)} of work in it."
            for loss in losses(floor, batch_id, now_us)
        ),
        days=_folded(worked, time_lines(floor, worked)),
        readings=_readings(floor, batch_id),
        next_time=batch.next_time,
    )


def _folded(worked: Sequence[Day], lines: LinesPicture) -> LinesPicture:
    """Let days in a row without any work share a line, which says to when they go."""
    rows = []
    for idle, some in groupby(zip(worked, lines.rows, strict=True), key=lambda pair: not pair[0].labour_us):
        alike = [row for _, row in some]
        if idle and len(alike) > MOST_IDLE:
            alike = [replace(alike[-1], name=f"… to {alike[-1].name}")]
        rows += alike
    return replace(lines, rows=tuple(rows))


def _readings(floor: ShopFloor, batch_id: int) -> tuple[tuple[str, str], ...]:
    """Each kind of reading with its target, and what was measured of whom, in the order it was taken."""
    found: dict[tuple[int, str], list[str]] = defaultdict(list)
    for reading in sorted(floor.of_batch(Reading, batch_id), key=lambda r: (r.at_us, r.id)):
        aim = target(reading)
        wrong = outside(floor, reading)
        said = f"{whose(floor, reading)} {measured(reading).shown}{f' ({wrong})' if wrong else ''}"
        found[reading.kind_id, f", wanted {aim}" if aim is not None else f", {reading.unit}"].append(said)
    return tuple((f"{floor.get(ReadingKind, kind).name}{aim}", ", ".join(all_)) for (kind, aim), all_ in found.items())
