"""Draws the Bench in many states: `python tests/screens/bench/gallery.py FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

sys.path.insert(0, str(Path(__file__).parent))  # run as a script: its own folder is where the workshop is

from workshop import Workshop

from shopclock.places import resource
from shopclock.screens.bench.screen import BenchScreen
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.look import Look
from shopclock.widgets.metrics import Sizes
from shopclock.widgets.theme import read_theme

if TYPE_CHECKING:
    from collections.abc import Callable

SCREENS = {"1024x600": 4.63, "1280x800": 5.94, "1366x768": 4.41, "1920x1080": 2.17}
TABS = [(name.lower(), name) for name in ("Today", "Bench", "Batches", "Review", "Trends", "Plan", "Shop")]


def nothing(_: Workshop) -> None:
    """No batch."""


def three(shop: Workshop, n: int = 7) -> None:
    """Three open batches; one tempers, one is at the bevels, one waits to be drilled."""
    cooks = shop.batch("Cook's 180", n, "Kitchen knife")
    shop.batch("Oyster", 8)
    paring = shop.batch("Paring 95", n)
    shop.press(f"batch:{cooks.id}")
    shop.start("Temper 1", cooks)
    shop.press(f"batch:{paring.id}")
    shop.start("Grind bevels", paring, 5)


def bevels(shop: Workshop) -> None:
    """As in the sketch: two done, one lost."""
    three(shop)
    shop.press("done", 15)
    shop.press("done", 17)
    shop.press("not-right", 3, ("E", "lost", "warped"))
    shop.clock.go(12)
    shop.bench.wake()


def twelve(shop: Workshop) -> None:
    """Twelve pieces."""
    three(shop, 12)
    shop.press("done", 15)
    shop.clock.go(1)


def set_up(shop: Workshop) -> None:
    """Set-up is on."""
    three(shop)
    shop.press("set-up", 1)
    shop.clock.go(3)


def stopped(shop: Workshop) -> None:
    """Stopped, with a wait still on."""
    bevels(shop)
    shop.press("stop", 2)


def ready(shop: Workshop) -> None:
    """Never started."""
    shop.batch("Paring 95", 7)


def waiting(shop: Workshop) -> None:
    """A watch on the plate, and scales beside it."""
    three(shop)
    shop.press("next", 30)
    shop.clock.go(7)


def cure(shop: Workshop) -> None:
    """Everything is in a wait."""
    batch = shop.batch("Paring 95", 6)
    shop.start("Glue up", batch)
    shop.press("next", 40)


def shop_work(shop: Workshop) -> None:
    """Sweeping."""
    bevels(shop)
    shop.press("shop-work", 1, ("1",))
    shop.clock.go(8)


def warned(shop: Workshop) -> None:
    """An order rule warns."""
    batch = shop.batch("Paring 95", 7)
    shop.start("Harden", batch)
    shop.clock.go(2)


def route(shop: Workshop) -> None:
    """The whole route."""
    bevels(shop)
    shop.press("page:route")


def pieces(shop: Workshop) -> None:
    """The pieces."""
    bevels(shop)
    shop.press("page:pieces")


def far(shop: Workshop) -> None:
    """Left alone."""
    bevels(shop)
    shop.clock.go(25)


STATES: dict[str, Callable[[Workshop], None]] = {
    state.__name__: state
    for state in (
        nothing, ready, bevels, twelve, set_up, stopped, waiting, cure, shop_work, warned, route, pieces, far,
    )
}  # fmt: skip


def draw(look: Look, folder: Path, stem: str) -> None:
    """Draw each state once."""
    for name, make in STATES.items():
        with tempfile.TemporaryDirectory() as place:
            shop = Workshop.open(Path(place) / "a.shopclock")
            make(shop)
            if name != "far":
                shop.bench.wake()
            frame = Frame(look, TABS)
            frame.resize(look.sizes.width, look.sizes.height)
            frame.header.set_title("Thu 26 Nov  20:14")
            screen = BenchScreen(look, shop.bench, shop.clock.moment)
            screen.far_changed.connect(frame.set_bare)
            screen.showEvent = lambda _event: None  # whoever draws has not come to the Bench
            frame.set_page("bench", screen)
            frame.show_page("bench")
            frame.show()
            screen.refresh()
            QApplication.processEvents()
            frame.grab().save(str(folder / f"{stem}_{name}.png"))
            frame.close()
            shop.record.close()


def main(folder: Path, screens: list[str]) -> None:
    """Draw all screens, both themes, bare hands and gloves."""
    app = QApplication([])
    app.setStyle("fusion")
    folder.mkdir(parents=True, exist_ok=True)
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    for screen in screens or SCREENS:
        width, height = map(int, screen.split("x"))
        for theme in ("dark", "paper"):
            for gloves in (False, True):
                sizes = Sizes(width, height, SCREENS[screen], gloves=gloves)
                look = Look(read_theme(resource("theme.toml"), theme), sizes, family)
                draw(look, folder, f"{screen}_{theme}{'_gloves' if gloves else ''}")
    app.quit()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
