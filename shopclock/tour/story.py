"""A walk through every screen, drawn to pictures with no screen needed: for the README, and to be looked at."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

from shopclock.demo.notes import NAME
from shopclock.shop.values.errors import ShopError
from shopclock.tour.window import StoppedClock, Window

SCREENS = ((1280, 800, 5.94), (1024, 600, 4.63), (1366, 768, 4.41), (1920, 1080, 2.17))
"""A 10-inch tablet, a small one, a 14-inch laptop, a television 3 m away: width, height, px/mm."""

Press = tuple[str, str]
STORY: tuple[Press, ...] = (
    ("open", "today"), ("draw", "today-evening"),
    ("press", "half a day"), ("draw", "today-half-a-day"),
    ("open", "bench"), ("draw", "bench-evening"),
    ("press", "Carry on"), ("wait", "12"), ("touch", ""), ("draw", "bench-running"),
    ("press", "Adjust"), ("draw", "bench-adjust"), ("press", "Back"),
    ("press", "Whole route"), ("draw", "bench-route"), ("press", "Back"),
    ("press", "Not right"), ("draw", "bench-not-right"),
    ("seek", "C"), ("draw", "bench-what"), ("press", "Lost"), ("draw", "bench-why"), ("press", "Back"),
    ("wait", "5"), ("draw", "bench-far"), ("touch", ""),
    ("press", "Shop work"), ("press", "Sweeping"), ("draw", "bench-sweeping"), ("press", "Stop"),
    ("press", "26-11"), ("draw", "bench-waiting"), ("press", "26-12"), ("draw", "bench-ready"),
    ("open", "batches"), ("draw", "batches-list"),
    ("press", "New batch"), ("draw", "batches-new"), ("seek", "Paring 95"), ("draw", "batches-how-many"),
    ("press", "Back"), ("press", "Back"), ("seek", "26-10"), ("draw", "batches-one"),
    ("seek", "C"), ("draw", "batches-piece"), ("press", "Back"),
    ("press", "Steps"), ("draw", "batches-steps"), ("press", "Back"),
    ("press", "Close"), ("draw", "batches-close"), ("press", "Back"), ("press", "Back"),
    ("open", "review"), ("draw", "review-last"),
    ("press", "Another"), ("draw", "review-which"), ("press", "26-07"), ("draw", "review-one"),
    ("press", "By size"), ("draw", "review-size"), ("press", "The days"), ("draw", "review-days"), ("press", "Back"),
    ("press", "The pieces"), ("draw", "review-pieces"), ("press", "Back"),
    ("press", "Beside"), ("press", "26-05"), ("draw", "review-beside"), ("press", "Back"), ("press", "Back"),
    ("press", "Another"), ("press", "26-10"), ("draw", "review-open"),
    ("open", "trends"), ("draw", "trends-stages"),
    ("seek", "Grind bevels"), ("draw", "trends-stage"),
    ("press", "on one count"), ("draw", "trends-one-count"), ("press", "each on its own"),
    ("press", "by date"), ("draw", "trends-date"), ("press", "batch after batch"), ("draw", "trends-after"),
    ("press", "set-up"), ("draw", "trends-setup"), ("press", "as a table"), ("draw", "trends-table"),
    ("press", "how this was worked out"), ("draw", "trends-how"),
    ("press", "All stages"), ("press", "The whole knife"), ("draw", "trends-whole"),
    ("open", "plan"), ("draw", "plan-orders"), ("seek", "Orla"), ("draw", "plan-order"), ("press", "Back"),
    ("press", "Promise or order"), ("draw", "plan-promise"), ("press", "Back"),
    ("press", "Next batch"), ("draw", "plan-next"), ("press", "Back"),
    ("press", "The plan"), ("draw", "plan-plan"), ("press", "Day by day"), ("draw", "plan-days"), ("press", "Back"),
    ("press", "What if"), ("draw", "plan-what-if"), ("press", "Back"), ("press", "Back"),
    ("press", "Hours"), ("draw", "plan-hours"), ("press", "Back"), ("press", "Costs"), ("draw", "plan-costs"),
    ("open", "shop"), ("draw", "shop-home"),
    ("press", "Patterns"), ("draw", "shop-patterns"), ("seek", "Paring 95"), ("draw", "shop-route"),
    ("seek", "4"), ("draw", "shop-step"), ("press", "Back"),
    ("press", "Order rules"), ("draw", "shop-rules"), ("press", "Back"), ("press", "Back"),
    ("press", "Copy a route"), ("draw", "shop-copy"), ("press", "Back"), ("press", "Back"),
    ("press", "Stages"), ("draw", "shop-stages"), ("press", "Back"),
    ("seek", "Words"), ("draw", "shop-words"), ("press", "Back"),
    ("seek", "Look and sizes"), ("draw", "shop-look"), ("press", "Ruler"), ("draw", "shop-ruler"),
    ("press", "Back"), ("press", "Back"), ("seek", "In and out"),
    ("draw", "shop-in-and-out"), ("press", "Old notes"), ("press", "Another file"), ("type", NAME),
    ("draw", "notes-made"),
    ("press", "Columns"), ("draw", "notes-columns"), ("seek", "Length"), ("draw", "notes-what"), ("press", "Back"),
    ("press", "Back"), ("press", "Stages"), ("draw", "notes-stages"), ("press", "grind bevles"),
    ("draw", "notes-stage"), ("press", "Back"), ("press", "Back"), ("press", "Left out"), ("draw", "notes-left-out"),
    ("press", "Back"), ("press", "Bring in the rest"), ("draw", "notes-in"), ("press", "Undo"), ("press", "Undo"),
    ("press", "Back"), ("press", "Back"), ("press", "Copies"), ("draw", "shop-copies"),
    ("seek", "Another archive"), ("type", "/media/stick/shop archive.zip"), ("draw", "shop-archive"), ("press", "Back"),
    ("press", "Back"), ("press", "Shop and desk"), ("draw", "shop-along"),
    ("press", "Take along"), ("draw", "shop-along-where"), ("press", "Beside the record"), ("press", "OK"),
    ("press", "Back"), ("press", "Shop and desk"), ("draw", "shop-along-out"),
    ("press", "Bring back"), ("draw", "shop-bring-back"),
)  # fmt: skip
"""What the finger does, and when a picture is drawn."""


def windows(*, everything: bool) -> list[Window]:
    """The windows that a tour draws: the tablet in both themes, or all sizes, themes and gloves."""
    themes = ("dark", "paper")
    if not everything:
        return [Window(*SCREENS[0], theme) for theme in themes]
    return [Window(*screen, theme, size) for screen in SCREENS for theme in themes for size in ("hands", "gloves")]


def story_of(screen: str | None) -> tuple[Press, ...]:
    """Return the part of the story that a screen has, or all of it; ShopError names the screens."""
    if screen is None:
        return STORY
    opens = [number for number, press in enumerate(STORY) if press[0] == "open"]
    begins = {STORY[number][1]: number for number in opens}
    if screen not in begins:
        raise ShopError(f"There is no screen {screen!r}. There are {', '.join(begins)}. Nothing was drawn.")
    after = next((number for number in opens if number > begins[screen]), len(STORY))
    return STORY[begins[screen] : after]


def tour(folder: Path, *, everything: bool = False, screen: str | None = None) -> int:
    """Draw every screen and state, or one screen's in one window, into a folder; returns how many were drawn."""
    story = story_of(screen)
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ShopError(f"{folder} can't be made: {error.strerror}. Nothing was drawn.") from error
    from shopclock.demo.write import write_demo

    with tempfile.TemporaryDirectory(prefix="shopclock-tour-") as place:
        demo = Path(place) / "demo.shopclock"
        write_demo(demo)
        drawn = windows(everything=everything)[: 1 if screen is not None else None]
        return sum(_walk(folder, demo, window, story) for window in drawn)


def _walk(folder: Path, demo: Path, window: Window, story: tuple[Press, ...]) -> int:
    """Walk once through a story of the program in one window, on a copy of the demo record in a folder of its own."""
    from shopclock.demo.notes import write_notebook
    from shopclock.demo.shop import demo_shop
    from shopclock.demo.write import default_end_us
    from shopclock.tour.window_hand import WindowHand

    copy = demo.parent / window.name / "shop.shopclock"
    copy.parent.mkdir()
    shutil.copyfile(demo, copy)
    write_notebook(copy.parent)
    hand = WindowHand(folder, copy, window, StoppedClock(default_end_us(demo_shop())))
    try:
        for act, words in story:
            getattr(hand, act)(words)
    finally:
        hand.close()
    return hand.drawn
