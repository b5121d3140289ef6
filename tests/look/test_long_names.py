"""Names as long as they may be: each stands whole on every screen that it is on."""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING

import pytest

from shopclock import app
from shopclock.demo.shop import demo_shop
from shopclock.demo.write import default_end_us
from shopclock.shop.setup.list_edit import rename
from shopclock.shop.values.entities import CustomerOrder, Method, Pattern, Reason, Stage, Tool
from shopclock.shop.values.names import LONGEST, columns
from shopclock.tour.story import STORY
from shopclock.tour.window import StoppedClock, Window
from shopclock.tour.window_hand import WindowHand
from shopclock.widgets.frame import Frame
from tests.look.conftest import Measured, NoPicture
from tests.look.painted import note_painted
from tests.plenty import few
from tests.screens.bench import gallery as bench
from tests.screens.pictures import SCREENS, draw_all
from tests.screens.today import gallery as today

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path
    from types import ModuleType

    from shopclock.record.press.record import Record
    from shopclock.shop.state.transaction import Transaction
    from tests.screens.bench.workshop import Workshop

SAID = (
    "Brotmesser für größere Laibe mit Griff aus Nussbaum",
    "Couteau à désosser façonné à la forge du hameau",
    "黒打三徳包丁両刃朴八角柄水牛口輪付特別仕上祭日用",
    "Slicing knife with a hidden tang and a bog oak handle",
)
"""Names of an invented shop, in four languages, each longer than a name may be."""


def long_name(number: int) -> str:
    """The longest name there can be, another one for each number."""
    end = f" {number}"
    said = SAID[number % len(SAID)]
    while columns(said + end) > LONGEST:
        said = said[:-1]
    return said.rstrip() + end


def renamed(record: Record) -> dict[str, str]:
    """Give all patterns, stages, methods, tools, reasons and orders long names; return them by the former ones."""
    found, number = dict[str, str](), count()

    def all_of_them(tx: Transaction) -> None:
        for kind in (Pattern, Stage, Method, Tool, Reason):
            for thing in list(tx.floor.all(kind)):
                found[thing.name] = rename(tx, thing, long_name(next(number))).name
        for order in list(tx.floor.all(CustomerOrder)):
            found[order.who] = long_name(next(number))
            tx.change(replace(order, who=found[order.who]))

    record.press("Long names", all_of_them, undoable=False)
    return found


def story(names: dict[str, str]) -> Iterator[tuple[str, str]]:
    """Yield what a finger does on the tour up to where files come in, with these names."""
    for act, words in STORY:
        if words == "Old notes":
            return
        of_these = (new for old, new in names.items() if len(words) > 3 and old.startswith(words))
        yield act, words if act == "draw" else next(of_these, words)


@pytest.mark.long
@pytest.mark.parametrize("screen", few(SCREENS))
def test_a_name_as_long_as_it_may_be_stands_whole(
    tmp_path: Path, copied_demo: Callable[..., Path], monkeypatch: pytest.MonkeyPatch, screen: str
) -> None:
    """On a button, in a sentence, in a chart or a table; cut only where it stands whole on the same screen."""
    width, height = map(int, screen.split("x"))
    window, clock = Window(width, height, SCREENS[screen], "dark"), StoppedClock(default_end_us(demo_shop()))
    hand, told = WindowHand(tmp_path, copied_demo(), window, clock), []
    for tab in app.TABS:
        hand.open(tab[0])  # what paints is imported
    painted = note_painted(monkeypatch)
    for act, words in story(renamed(hand.record)):
        painted.texts.clear()
        getattr(hand, act)(words)
        if act == "draw":
            assert painted.texts
            told += [f"{words}: {fault}" for fault in painted.faults()]
    hand.close()
    assert told == []


@pytest.mark.long
@pytest.mark.parametrize("screen", few(SCREENS))
@pytest.mark.parametrize("gallery", [bench, today], ids=["bench", "today"])
def test_it_stands_whole_whatever_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, gallery: ModuleType, screen: str
) -> None:
    """In every state of the galleries of Bench and Today, and large enough to be read."""
    painted, measured, grab = note_painted(monkeypatch), Measured(), Frame.grab

    def measure(frame: Frame) -> NoPicture:
        painted.texts.clear()
        grab(frame)
        assert painted.texts
        return NoPicture(measured, list(painted.faults()))

    def long_names(make: Callable[[Workshop], None]) -> Callable[[Workshop], None]:
        def made(shop: Workshop) -> None:
            make(shop)
            renamed(shop.record)

        return made

    monkeypatch.setattr(gallery, "STATES", {name: long_names(make) for name, make in gallery.STATES.items()})
    monkeypatch.setattr(Frame, "grab", measure)
    draw_all(tmp_path, gallery.draw, [screen])
    assert measured.states
    assert measured.told == []
