"""Draws the copies' pages: `python -m tests.screens.shop.gallery FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from shopclock.record.desk.taking_along import TAKEN, free_place, take_along
from shopclock.record.file import copy_files
from shopclock.record.file.copy_files import Keeps
from shopclock.record.press.record import Record
from shopclock.record.server.exchange import Standing
from shopclock.record.server.server import BenchHeard
from shopclock.screens.files.desk_copy import DeskCopies
from shopclock.screens.files.keeping import Keeping
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.shop.pages.along import AlongPage
from shopclock.screens.shop.pages.benches import BenchesPage
from shopclock.screens.shop.pages.copies import CopiesPage
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.screens.shop.screen import ShopScreen
from shopclock.screens.start.bringing_back import BringingBack
from shopclock.shop.state.desk_copy import check_out
from shopclock.shop.state.wording import zone_of
from shopclock.shop.values.entities import Batch, Bench, Interval, Piece, Stage
from shopclock.shop.work import finish, pieces
from shopclock.widgets.frame import Frame
from tests.fake_dialogs import FakeDialogs
from tests.record.joining.several import Shop as SeveralBenches
from tests.record.machine import MINUTE_US
from tests.screens.batches.gallery import TABS
from tests.screens.batches.reading import press
from tests.screens.batches.story import Gone, Shop, busy, routes
from tests.screens.pictures import draw_all
from tests.screens.shop.test_benches import Exchange

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.widgets.style import Style

DAY_MIN = 24 * 60


def draw(shop: Shop, look: Style, folder: Path, stem: str) -> None:
    """The list, the question where, one copy, and a damaged record."""
    frame = Frame(look, TABS)
    frame.resize(look.sizes.width, look.sizes.height)
    keeping = Keeping(shop.record, frame.dialogs, AtOnce(), frame.header.set_note, print, print)
    drives = [("STICK", Path("/media/anna/STICK"))]
    along = DeskCopies(shop.record, frame.dialogs, AtOnce(), list)
    presenter = ShopPresenter(
        shop.record,
        frame.dialogs,
        routes(),
        Gone(),
        {
            ("Copies", "of the record"): lambda stack: CopiesPage(stack, keeping, lambda: drives),
            ("Shop and desk", "take along, bring back"): lambda stack: AlongPage(stack, along),
        },
    )
    screen = ShopScreen(look, presenter, shop.clock.moment)
    frame.set_page("shop", screen)
    frame.show()

    def shot(name: str) -> None:
        QApplication.processEvents()
        frame.grab().save(str(folder / f"copies_{name}_{stem}.png"))

    screen.refresh()
    frame.show_page("shop")
    shot("shop")
    press(presenter, "In and out", "Copies")
    shot("list")
    press(presenter, "Where to")
    shot("where")
    frame.dialogs._answered(None)
    presenter.press(presenter.state().tiles[4].key)
    shot("one")
    press(presenter, "Bring this copy back")
    shot("sure")
    frame.dialogs._answered(None)
    presenter.home()
    press(presenter, "In and out", "Shop and desk")
    shot("along")
    presenter.press(presenter.state().tiles[0].key)
    shot("bring")
    presenter.press(presenter.state().tiles[0].key)
    shot("both")
    presenter.home()
    now_us = shop.record.instant()
    bringing = BringingBack(frame.dialogs, AtOnce(), shop.record.path, now_us, zone_of(shop.floor))
    bringing.offer(lambda: None, lambda: None)
    shot("damaged")
    frame.close()
    frame.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def draw_benches(shop: SeveralBenches, look: Style, folder: Path, stem: str) -> None:
    """Benches with what was changed apart and what can't be, and one that is picked."""
    frame = Frame(look, TABS)
    frame.resize(look.sizes.width, look.sizes.height)
    record = shop.benches[0].record
    heard = datetime.fromtimestamp(record.clock.moment().wall_us / 1e6, UTC)
    standing = Standing(benches=tuple(BenchHeard(one.record.bench.id, "", heard, 0) for one in shop.benches))
    ways = {("Benches", ""): lambda stack: BenchesPage(stack, Exchange(standing))}
    presenter = ShopPresenter(record, frame.dialogs, routes(), Gone(), ways)
    screen = ShopScreen(look, presenter, record.clock.moment)
    frame.set_page("shop", screen)
    frame.show_page("shop")
    frame.show()
    press(presenter, "In and out", "Benches")
    for name, pressed in (("list", ()), ("pick", ("A of 26-01",)), ("picked", ("At Garage",))):
        press(presenter, *pressed)
        screen.refresh()
        QApplication.processEvents()
        frame.grab().save(str(folder / f"benches_{name}_{stem}.png"))
    record.undo()
    frame.close()
    frame.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def apart(folder: Path) -> SeveralBenches:
    """Garage and Kitchen, an invented shop, said otherwise of two things, and one had lost what the other marked."""
    shop = SeveralBenches(folder, 2, 3, makers=2)
    saw = next(step for step in shop.benches[0].record.floor.steps(1) if step.name == "Saw")
    for bench, name, number in zip(shop.benches, ("Garage", "Kitchen"), ("117", "118"), strict=True):
        shop.on(MINUTE_US)
        bench.press(lambda tx, b=bench, n=name: tx.change(replace(tx.floor.get(Bench, b.record.bench.id), name=n)))
        bench.press(lambda tx, n=number: tx.change(replace(tx.floor.get(Piece, 1), number=n)))
        bench.press(lambda tx, n=name: tx.change(replace(tx.floor.get(Batch, 1), next_time=f"A fresh belt, said {n}")))
    shop.benches[0].press(lambda tx: pieces.lose(tx, tx.floor.get(Piece, 2), saw, "cracked"))
    shop.on(MINUTE_US)
    shop.benches[1].press(lambda tx: finish.all_through(tx, saw, [2]))
    shop.level()
    return shop


def at_the_desk(shop: Shop) -> None:
    """A copy is at the desk, and three things were changed at both sides."""
    shop.record.press(TAKEN, check_out, undoable=False)
    target = free_place(shop.record.path.parent, shop.record.path)
    take_along(shop.record.path, target, shop.clock)
    desk = Record.open(target, shop.clock)
    ended = [i for i in desk.floor.all(Interval) if i.end_us is not None]
    for record, minutes in ((desk, 4), (shop.record, 9)):
        for interval in ended[:3]:
            earlier = record.floor.get(Interval, interval.id).end_us - minutes * 60_000_000
            record.press("End", lambda tx, s=interval, us=earlier: tx.change(replace(tx.current(s), end_us=us)))
    stage = next(desk.floor.all(Stage))
    desk.press("Name", lambda tx: tx.change(replace(tx.current(stage), name="Draw-file")))
    desk.close()


def main(folder: Path, screens: Sequence[str]) -> None:
    """Draw in these windows or in all, both themes, bare hands and gloves."""
    with tempfile.TemporaryDirectory() as place:
        shop = Shop(Path(place))
        busy(shop)
        keeping = Keeping(shop.record, FakeDialogs(), AtOnce(), print, print, print)
        for number in range(24):
            shop.clock.go(DAY_MIN)
            shop.pattern(f"Paring {number}")
            keeping.look()
        copy_files.write_keeps(shop.record.path, Keeps("", "/media/anna/STICK can't be written to (No space left)."))
        at_the_desk(shop)
        draw_all(folder, partial(draw, shop), screens)
        shop.record.close()
        (Path(place) / "several").mkdir()
        with closing(apart(Path(place) / "several")) as several:
            draw_all(folder, partial(draw_benches, several), screens)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
