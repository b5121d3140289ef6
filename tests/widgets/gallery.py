"""Draws every widget at several sizes in both themes: `python tests/widgets/gallery.py FOLDER`, to be looked at."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from shopclock.places import resource
from shopclock.views.button import Button
from shopclock.views.dialogs import BELOW_ZERO, CLOCK, COUNT, MEASURED, Choice
from shopclock.views.letter import Letter
from shopclock.views.metrics import Sizes
from shopclock.views.route_state import RouteState
from shopclock.widgets.clock_face import ClockFace
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.labels import Label
from shopclock.widgets.letters import LetterRow
from shopclock.widgets.plate import Plate, ProgressLine
from shopclock.widgets.press_button import PressButton, no_time
from shopclock.widgets.route_outline import RouteOutline
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme
from shopclock.widgets.tile_grid import TileGrid
from tests.screens.pictures import SCREENS

if TYPE_CHECKING:
    from collections.abc import Callable

TABS = [(name.lower(), name) for name in ("Today", "Bench", "Batches", "Review", "Trends", "Plan", "Shop")]


def sizes_of(screen: str, *, gloves: bool = False) -> Sizes:
    """The sizes of one of the four screens."""
    width, height = map(int, screen.split("x"))
    return Sizes(width, height, SCREENS[screen], gloves=gloves)


def bench(look: Style) -> QWidget:
    """Plate, clock, letters, route and bottom row, roughly as at the Bench."""
    page = QWidget()
    rows = QVBoxLayout(page)
    rows.setContentsMargins(*[look.sizes.margin] * 4)
    middle = QHBoxLayout()
    middle.addWidget(_plate(look, "dye"), 5)
    middle.addLayout(_side(look), 3)
    rows.addLayout(middle, 1)
    rows.addLayout(_bottom(look))
    return page


def _plate(look: Style, role: str, letters: int = 7) -> Plate:
    plate = Plate(look, role)
    column = QVBoxLayout(plate)
    column.setContentsMargins(*[look.sizes.margin] * 4)
    clock = ClockFace(look)
    clock.set_text("0:47:12")
    row = LetterRow(look, lambda *_: None, no_time)
    states = ["done", "done", "in", "in", "lost", "away", "aside", "out"]
    row.show_letters(tuple(Letter(chr(65 + i), states[i % len(states)]) for i in range(letters)))
    line = ProgressLine(look)
    line.set_share(0.69)
    stage = Label(look, "stage", "Grind bevels")
    pace = Label(look, "body", "72 of about 104 min in this batch  \N{MIDDLE DOT}  usual 15.2 to 19.6 a blade")
    for widget, interval in ((stage, 0), (clock, 2), (pace, 0), (line, 0), (row, 1)):
        column.addWidget(widget, interval)
        plate.carry(widget)
    return plate


def _side(look: Style) -> QVBoxLayout:
    side = QVBoxLayout()
    side.addWidget(Label(look, "section", "Other work ready in this batch"))
    tile = Button("Scales", "pair, saw, drill: 6 pairs", aside="usual 29 to 37")
    side.addWidget(PressButton(look, tile))
    side.addWidget(Label(look, "small", "route of 26-11"))
    route = RouteOutline(look)
    fills = (1.0, 1.0, 1.0, 0.4) + (0.0,) * 12
    route.show_state(RouteState("blade", fills, ((3, "A\N{EN DASH}D"), (4, "F"), (5, "G"))))
    bar = RouteOutline(look)
    bar.show_state(RouteState("bar", fills, ((0, "A"), (15, "B to L"))))
    side.addWidget(route)
    side.addWidget(bar)
    return side


def _bottom(look: Style) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(look.sizes.gap)
    for state, interval in (
        (Button("Stop", role="red"), 25),
        (Button("Next: Heat treat", role="primary"), 36),
        (Button("Done: C", role="green"), 25),
        (Button("Not right", role="raised"), 17),
        (Button("Undo", "Done: B", role="raised"), 17),
    ):
        row.addWidget(PressButton(look, state), interval)
    return row


def tiles(look: Style) -> QWidget:
    """A page of large tiles, more than fit."""
    page = QWidget()
    grid = TileGrid(look)
    names = ("Cut out", "Profile", "Drill tang", "Grind bevels", "Heat treat", "Finish grind", "Mark", "Hand sand")
    grid.show_tiles([Button(f"{i + 1}  {names[i % 8]}", f"{i % 7} of 7 through", tile=True) for i in range(34)])
    column = QVBoxLayout(page)
    column.setContentsMargins(*[look.sizes.margin] * 4)
    column.addWidget(Label(look, "sentence", "Whole route of 26-11 Paring 95"))
    column.addWidget(grid, 1)
    return page


def plates(look: Style) -> QWidget:
    """The plate in each role, with twelve letters."""
    page = QWidget()
    grid = QGridLayout(page)
    for number, role in enumerate(("dye", "straw", "dark", "red")):
        grid.addWidget(_plate(look, role, 12), number // 2, number % 2)
    return page


def _ask(frame: Frame) -> None:
    words = ("dropped", "cracked", "warped", "too thin", "wrong hole", "soft", "other")
    frame.dialogs.ask("What is not right with C", [Choice(word, word) for word in words], lambda _: None)


ABOVE: dict[str, Callable[[Frame], None]] = {
    "ask": _ask,
    "tell": lambda f: f.dialogs.tell(
        "The record is on a disk that is full. What was shown is kept. Make room, then go on."
    ),
    "text": lambda f: f.dialogs.text("Name of the new route", "Paring, long", lambda _: None),
    "count": lambda f: f.dialogs.number("How many", "7", lambda _: None, signs=COUNT),
    "amount": lambda f: f.dialogs.number("Rent, EUR a month", "62.00", lambda _: None),
    "warmth": lambda f: f.dialogs.number("How warm is the shop", "18", lambda _: None, signs=BELOW_ZERO),
    "measured": lambda f: f.dialogs.number("Edge of C", "3/32", lambda _: None, ("in", "mm"), signs=MEASURED),
    "clock": lambda f: f.dialogs.number("Grind bevels from", "19:59", lambda _: None, signs=CLOCK),
}


def draw(look: Style, folder: Path, stem: str) -> None:
    """Draw each page once."""
    frame = Frame(look, TABS)
    frame.resize(look.sizes.width, look.sizes.height)
    frame.header.set_title("Thu 26 Nov  20:14")
    for key, make in (("bench", bench), ("today", tiles), ("review", plates)):
        frame.set_page(key, make(look))
    frame.show()
    for key in ("bench", "today", "review"):
        frame.show_page(key)
        frame.grab().save(str(folder / f"{stem}_{key}.png"))
    frame.header.set_note("Temper of 26-12 ended 14 min ago")
    frame.show_page("bench")
    frame.grab().save(str(folder / f"{stem}_note.png"))
    for name, put in ABOVE.items():
        put(frame)
        frame.grab().save(str(folder / f"{stem}_{name}.png"))
        frame.overlay.left.emit()
    frame.close()


def main(folder: Path) -> None:
    """Draw all screens, both themes, bare hands and gloves."""
    app = QApplication([])
    folder.mkdir(parents=True, exist_ok=True)
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    for screen in SCREENS:
        for theme in ("dark", "paper"):
            for gloves in (False, True):
                look = Style(read_theme(resource("theme.toml"), theme), sizes_of(screen, gloves=gloves), family)
                draw(look, folder, f"{screen}_{theme}{'_gloves' if gloves else ''}")
    app.quit()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
