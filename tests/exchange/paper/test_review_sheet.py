"""The review on paper: one page or two, all of it on them, nothing over anything else."""

from __future__ import annotations

import pytest

from shopclock.exchange.paper.page import A4, LETTER, Box, PaperSize
from shopclock.exchange.paper.review_facts import ReviewSheet
from shopclock.exchange.paper.review_sheet import review_pages
from shopclock.shop.review.review import Went
from shopclock.views.bars_picture import BarRow, BarsPicture, LineRow, LineSpan, LinesPicture
from shopclock.views.review_pictures import FILLS
from tests.exchange.paper.layout import assert_sound

LOSS = "lost at Drill the handle pin holes, wrong hole: 1 h 46 of work in it."


def made(stages: int, n_days: int, losses: int = 1, readings: int = 2) -> ReviewSheet:
    """A review of so much of everything."""
    parts = (
        (FILLS[Went.OWN], 12.5),
        (FILLS[Went.SET_UP], 2.0),
        (FILLS[Went.REWORK], 1.0),
        (FILLS[Went.LOST], 3.0),
        (FILLS[Went.KEPT], 1.0),
    )
    each = tuple(f"Stage of a longer name {i}" for i in range(stages))
    return ReviewSheet(
        shop="Gullfallow Creek",
        title="26-07 Oyster knife, bog oak handle",
        as_of="Written Wed 25 Nov 2026",
        answer="4 h 05 of work in each knife: 3 h 49 its own, 11 min lost with E, F, 5 min kept with G.",
        more="Grind bevels and hand sand were quicker than usual. 7 started, 4 finished, 2 lost, 1 kept.",
        bars=BarsPicture(
            "Minutes per finished knife",
            (
                (FILLS[Went.OWN], "its own"),
                (FILLS[Went.SET_UP], "set-up"),
                (FILLS[Went.LOST], "lost with E, F"),
                (None, "usual range"),
            ),
            tuple(BarRow(name, parts, "1019.5", 10.0, 30.0, "quicker") for name in each),
        ),
        losses=tuple(f"{i} {LOSS}" for i in range(losses)),
        days=LinesPicture(
            (("by hand", "by hand"), ("waits", "waits")),
            tuple((i / 15, f"{i + 8}:00") for i in range(16)),
            tuple(
                LineRow(f"Sat {i} Jul", (LineSpan(0.1, 0.4, "by hand"), LineSpan(0.4, 1.0, "waits")), "10 h 35")
                for i in range(n_days)
            ),
        ),
        readings=tuple(
            (f"Hardness {i}, wanted 60 HRC", "A 60.3, B 57.1 (below 58 HRC), " * 6) for i in range(readings)
        ),
        next_time="Glue up in two goes, five and five.",
    )


@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
@pytest.mark.parametrize(
    ("stages", "days", "losses", "readings", "pages"),
    [(4, 3, 0, 0, 1), (15, 5, 1, 2, 1), (25, 20, 3, 6, 2), (25, 200, 14, 6, 2), (90, 0, 40, 60, 2), (0, 0, 0, 0, 1)],
)
def test_it_is_on_one_page_or_two_and_nothing_covers_anything(
    size: PaperSize, stages: int, days: int, losses: int, readings: int, pages: int
) -> None:
    found = review_pages(made(stages, days, losses, readings), size)
    assert len(found) == pages
    for page in found:
        assert_sound(page)


def test_stages_days_losses_and_the_line_can_all_be_read() -> None:
    sheet = made(25, 30, 3)
    read = " ".join(text for page in review_pages(sheet, LETTER) for text in page.texts)
    wanted = [
        *(bar.name for bar in sheet.bars.rows),
        *(day.name for day in sheet.days.rows),
        *sheet.losses,
        sheet.next_time,
    ]
    assert [text for text in wanted if text not in read] == []


def test_what_finds_no_room_is_counted() -> None:
    read = " ".join(text for page in review_pages(made(90, 200, 40), A4) for text in page.texts)
    assert "26 more are in the spreadsheet." in read
    shown = sum(f"Sat {i} Jul" in read for i in range(200))
    assert 0 < shown < 200
    assert "earlier days are in the spreadsheet." in read


def test_a_bar_is_as_long_as_its_minutes() -> None:
    sheet = made(1, 0)
    (page,) = review_pages(sheet, A4)
    filled = [item for item in page.items if isinstance(item, Box)][-5:]
    unit = filled[0].width_mm / 12.5
    assert [box.width_mm / unit for box in filled] == pytest.approx([12.5, 2.0, 1.0, 3.0, 1.0])
