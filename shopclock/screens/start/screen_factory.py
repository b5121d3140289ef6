"""Screens and what each is made of. Each is imported when it is first shown."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer

from shopclock.screens.bench.current_work import running_by
from shopclock.screens.shell.awake import Awake
from shopclock.screens.shell.shell import StatusLine
from shopclock.shop.state.demo_mark import demo_said
from shopclock.shop.state.desk_copy import at_desk
from shopclock.shop.values.errors import ShopError
from shopclock.views.button import Press
from shopclock.widgets.accessible import announce
from shopclock.widgets.clock_face import spoken_time

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from shopclock.record.press.record import Record
    from shopclock.screens.alarms.screen import Alarming
    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.screens.bench.everywhere import Everywhere
    from shopclock.screens.files.exchanging import Exchanging
    from shopclock.screens.files.exporting import Exporting
    from shopclock.screens.files.keeping import Keeping
    from shopclock.screens.files.on_paper import OnPaper
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.screens.notes.bringing import Bringing
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.screens.plan.presenter import PlanPresenter
    from shopclock.screens.review.presenter import ReviewPresenter
    from shopclock.screens.shell.dimming import Dimming
    from shopclock.screens.shell.shell import Screen, Shell
    from shopclock.screens.shop.presenter import ShopPresenter
    from shopclock.screens.start.leaving import ClockRuns
    from shopclock.screens.start.outside_line import OutsideLine
    from shopclock.shop.figures.trend_rows import TrendRow, Usual
    from shopclock.views.dialogs import Dialogs
    from shopclock.views.page import Page
    from shopclock.widgets.frame import Frame
    from shopclock.widgets.style import Style

LOOK_TICKS = 300
"""Every five minutes of ticks it is looked whether a copy is due; half as often while nobody sees the window."""


PAGES_OF_SHOP = {
    "the shop": ("the shop",), "look and sizes": ("look and sizes",), "old notes": ("in and out", "old notes"),
}  # fmt: skip
TOO_SOON = "Just come up: not taken. Press again."
TWICE = "Pressed twice: taken once."
SAID_MS = 4000


class ScreenFactory:
    """Makes the screens of one record, each with its presenter."""

    def __init__(
        self, shell: Shell, frame: Frame, look: Style, record: Record, dialogs: Dialogs, background: WorkRunner
    ) -> None:
        self._shell = shell
        self._frame = frame
        self._look = look
        self._record = record
        self._dialogs = dialogs
        self._background = background
        self._awake = Awake()
        self._strip = StatusLine(frame.header.set_note)
        self._bench: AtBench | None = None
        self._review: ReviewPresenter | None = None
        self._shop: ShopPresenter | None = None
        self._plan: PlanPresenter | None = None
        self._alarming: Alarming | None = None
        self._everywhere: Everywhere | None = None
        self._outside: OutsideLine | None = None
        self._keeping: Keeping | None = None
        self._bringing: Bringing | None = None
        self._dimming: Dimming | None = None
        self._closing: ClockRuns | None = None
        self._ticks = 0
        self._exchanging: Exchanging | None = None
        look.refused.connect(partial(self._say_refused, TOO_SOON))
        look.bounced.connect(partial(self._say_refused, TWICE))
        look.unable.connect(self._say_refused)

    def add_all(self) -> None:
        """Give the shell every screen that works."""
        rooms: dict[str, Callable[[], Screen]] = {
            "today": self._make_today,
            "bench": self._make_bench,
            "batches": self._make_batches,
            "review": self._make_review,
            "trends": self._make_trends,
            "plan": self._make_plan,
            "shop": self._make_shop,
        }
        for key, make in rooms.items():
            self._shell.add(key, make)
        self._shell.add_way("copy", lambda: self.go("copy"))
        self._frame.help_wanted.connect(self._open_manual)
        self._shell.each_tick(self._watch, unseen=True)
        self._shell.each_tick(self._keep, unseen=True)

    def go(self, tab_key: str, batch_id: int | None = None) -> None:
        """Bring a screen in sight, the Bench or Review with a batch if one is given.

        "amend" is the day in Review, "copy" the routes in Shop, "order" an order in Plan, whose number is given;
        "the shop", "look and sizes" and "old notes" are pages of Shop.
        """
        if tab_key == "copy":
            tab_key = "shop"
            self._shop_presenter().copy_a_route()
        elif tab_key in PAGES_OF_SHOP:
            self._shop_presenter().show(*PAGES_OF_SHOP[tab_key])
            tab_key = "shop"
        elif tab_key == "amend":
            tab_key = "review"
            self._review_presenter().amend(self._at_bench().batch_id)
        elif tab_key == "order":
            tab_key = "plan"
            self._plan_presenter().show_order(batch_id or 0)
        elif batch_id is not None and tab_key == "review":
            self._review_presenter().choose(batch_id)
        elif batch_id is not None:
            self._at_bench().show_batch(batch_id)
        self._shell.show_screen(tab_key)

    def _open_manual(self) -> None:
        """Bring the chapter of the screen in sight; a page of the manual that is read stays."""
        from shopclock.screens.manual.chapters import OF_SCREEN

        reads = self._frame.current == "shop" and self._shop_presenter().reads_manual
        if self._frame.current in OF_SCREEN and not reads:
            self._shop_presenter().open_manual(OF_SCREEN[self._frame.current])
            self._shell.show_screen("shop")

    def _stage_rows(self, maker_id: int | None = None) -> Sequence[TrendRow]:
        return self._record.reads.stage_rows(self._record.instant(), maker_id)

    def _usual_of(self, stage_id: int, method_id: int | None, pattern_id: int | None, maker_id: int) -> Usual | None:
        return self._record.reads.usual(stage_id, method_id, pattern_id, self._record.instant(), maker_id)

    def _whole_rows(self, maker_id: int | None = None) -> Sequence[TrendRow]:
        return self._record.reads.whole_rows(self._record.instant(), maker_id)

    def _at_bench(self) -> AtBench:
        """The makers at the Bench without its screen: alarms keep their presses live wherever one is."""
        from shopclock.screens.bench.at_bench import AtBench

        if self._bench is None:
            self._bench = AtBench(self._record, self._dialogs, self._usual_of, self.go)
        return self._bench

    def _say_refused(self, why: str) -> None:
        """Say for some seconds why a press was not taken."""
        self._say_why(why)
        QTimer.singleShot(SAID_MS, self._frame, lambda: self._say_why(""))

    def _say_why(self, why: str) -> None:
        """Say it in the header, and on the question or alarm that covers it."""
        self._strip.refused(why)
        if self._alarming is not None:
            self._alarming.screen.say(why)
        if self._frame.overlay.panel is not None:
            self._frame.overlay.panel.say(why)

    def exchange(self) -> None:
        """Exchange with other benches, where this one goes to a server; say so where it can't."""
        from shopclock.record.server.address import address_to_go_to

        try:
            where = address_to_go_to(self._record)
        except ShopError as error:
            self._strip.server(str(error))
            return
        if where is not None:
            self._exchange(where)

    def _exchange(self, where: str) -> None:
        from shopclock.screens.files.exchanging import Exchanging

        self._exchanging = Exchanging(self._record, where, self._frame, self._strip.server)
        self._shell.stopped.connect(self._exchanging.stop)
        self._exchanging.start()

    def _go_on_at(self, place: Path) -> None:
        """Open the window again on the record at its new place, from where it goes to the same server."""
        from shopclock.record.server.address import keep_address

        try:
            if self._exchanging is not None:
                keep_address(place, self._exchanging.where)
        except ShopError as error:
            self._dialogs.tell(str(error), then=lambda: self._shell.open_other.emit(place))
            return
        self._shell.open_other.emit(place)

    def _watch(self) -> None:
        """Keep watch from the first tick on, whatever screen is in sight."""
        from shopclock.screens.alarms.screen import Alarming
        from shopclock.screens.bench.everywhere import Everywhere
        from shopclock.screens.shell.dimming import Dimming
        from shopclock.screens.start.leaving import ClockRuns
        from shopclock.screens.start.outside_line import OutsideLine

        if self._alarming is None:
            bench, strip = self._at_bench(), self._strip.alarm
            self._alarming = Alarming(
                self._frame, self._look, self._record, self._dialogs, bench, strip, self._go_on_at
            )
            if at_desk(self._record.floor) is None:
                now, alarmed = self._record.clock.moment, self._alarming.screen.isVisible
                self._everywhere = Everywhere(self._frame, self._look, bench, now, alarmed)
                self._everywhere.pedals.elsewhere.connect(self._by_key)
                self._alarming.screen.turned.connect(self._everywhere.tick)
                self._dimming = Dimming(self._frame, self._look, self._record, self._needed)
                self._closing = ClockRuns(self._frame, self._running, self._stop_all)
                self._outside = OutsideLine(self._record.path, bench, self._frame)
        self._alarming.tick()
        if at_desk(self._record.floor) is None:  # what is timed is the shop's
            if self._everywhere is not None:
                self._everywhere.tick()
            if self._dimming is not None:
                self._dimming.tick()
            if self._outside is not None:
                self._outside.listen()
            self._awake.set(self._at_bench().keep_awake)

    def _by_key(self, action: str) -> None:
        """Do what a key is for that is no button's at the Bench; a screen comes in sight where nothing is asked."""
        if self._alarming is None:
            return
        alarm = self._alarming.screen
        if action == "answer":
            alarm.press_first()
        elif action == "say":
            now_us = self._record.instant()
            told = [told[1] for one in self._at_bench().shown if (told := one.in_header(now_us)) is not None]
            said = [", ".join(map(spoken_time, filter(None, words.split("  ")))) for words in told if words]
            announce(self._frame, "; ".join(said) or "Nothing runs by hand", urgent=True)
        elif not alarm.isVisible() and not self._frame.overlay.isVisible():
            self._shell.press_tab(action.removeprefix("see_"))

    def _needed(self) -> bool:
        """Tell whether the screen is needed: something runs by hand, is stayed by or spoils, or there is an alarm."""
        alarmed = self._alarming is not None and self._alarming.screen.isVisible()
        return alarmed or self._at_bench().keep_awake

    def _running(self) -> str:
        """Say what runs by hand or is stayed by; empty where nothing does."""
        from shopclock.screens.bench.act_words import of_where

        at_bench, floor = self._at_bench(), self._record.floor
        running = [i for one in at_bench.shown for i in running_by(floor, one.maker_id)]
        return ", ".join(of_where(floor, interval) for interval in running)

    def _stop_all(self) -> None:
        from shopclock.screens.bench.state import Verb

        for one in self._at_bench().shown:
            if running_by(self._record.floor, one.maker_id):
                one.press(Press(Verb.STOP_ALL, one.maker_id))

    def _keep(self) -> None:
        """Look now and then, and not in the first minutes, whether a copy of the record is due."""
        self._ticks += 1
        if self._ticks % LOOK_TICKS == 0 and at_desk(self._record.floor) is None:
            self._copies_kept().look()

    def _copies_kept(self) -> Keeping:
        from shopclock.screens.files.keeping import Keeping

        if self._keeping is None:
            back, other = self._shell.bring_back.emit, self._shell.open_other.emit
            self._keeping = Keeping(self._record, self._dialogs, self._background, self._strip.copies, back, other)
        return self._keeping

    def _make_today(self) -> Screen:
        from shopclock.screens.today.presenter import TodayPresenter
        from shopclock.screens.today.screen import TodayScreen

        at_bench = self._at_bench()
        presenter = TodayPresenter(
            self._record, self._dialogs, self._stage_rows, at_bench.begin, self.go, hands=at_bench
        )
        screen = TodayScreen(self._look, presenter, self._record.clock.moment)
        self._shell.each_tick(screen.tick)
        return screen

    def _make_bench(self) -> Screen:
        from shopclock.screens.bench.sides import BenchSides

        screen = BenchSides(self._look, self._at_bench(), self._record.clock.moment)
        screen.far_changed.connect(self._frame.set_bare)
        self._shell.each_tick(screen.tick)
        return screen

    def _make_batches(self) -> Screen:
        from shopclock.screens.batches.presenter import BatchesPresenter
        from shopclock.screens.paged.screen import PagedScreen

        presenter = BatchesPresenter(self._record, self._dialogs, self.go, self._exporting().to_spreadsheet)
        presenter.paper = self._paper()
        presenter.reckon_by(self._background)
        return PagedScreen(self._look, presenter, self._record.clock.moment)

    def _review_presenter(self) -> ReviewPresenter:
        from shopclock.exchange.printing.output import manner_here
        from shopclock.screens.review.presenter import ReviewPresenter

        if self._review is None:
            sheet = self._exporting().to_spreadsheet
            self._review = ReviewPresenter(self._record, self._dialogs, self.go, sheet)
            self._review.paper = self._paper()
            self._review.reckon_by(self._background, manner_here())
        return self._review

    def _make_review(self) -> Screen:
        from shopclock.screens.files.exporting import documents
        from shopclock.screens.review.screen import ReviewScreen

        return ReviewScreen(self._look, self._review_presenter(), self._record.clock.moment, documents())

    def _exporting(self) -> Exporting:
        from shopclock.screens.files.exporting import Exporting, documents

        return Exporting(self._record, self._dialogs, self._background, documents())

    def _paper(self) -> OnPaper:
        from shopclock.exchange.printing import output
        from shopclock.screens.files.exporting import documents
        from shopclock.screens.files.on_paper import OnPaper

        return OnPaper(self._record, self._dialogs, output, documents())

    def _make_trends(self) -> Screen:
        from shopclock.screens.files.exporting import documents
        from shopclock.screens.trends.presenter import TrendsPresenter
        from shopclock.screens.trends.screen import TrendsScreen

        presenter = TrendsPresenter(
            self._record, self._dialogs, (self._stage_rows, self._whole_rows), self.go, self._background
        )
        return TrendsScreen(self._look, presenter, documents())

    def _plan_presenter(self) -> PlanPresenter:
        from shopclock.exchange.printing.output import manner_here
        from shopclock.screens.files.exporting import documents
        from shopclock.screens.files.to_calendar import ToCalendar
        from shopclock.screens.plan.presenter import PlanPresenter

        if self._plan is None:
            self._plan = PlanPresenter(self._record, self._dialogs, self.go, self._background, manner_here())
            self._plan.paper = self._paper()
            self._plan.to_calendar = ToCalendar(self._record, self._dialogs, self._background, documents()).write
        return self._plan

    def _make_plan(self) -> Screen:
        from shopclock.screens.paged.screen import PagedScreen

        return PagedScreen(self._look, self._plan_presenter(), self._record.clock.moment)

    def _shop_presenter(self) -> ShopPresenter:
        from shopclock.exchange.printing.output import here
        from shopclock.places import resource
        from shopclock.screens.shell.at_login import AtLogin
        from shopclock.screens.shell.kiosk import Kiosk
        from shopclock.screens.shop.presenter import ShopPresenter
        from shopclock.shop.routes.route_file import StarterRoutes

        if self._shop is None:
            routes = StarterRoutes(resource("routes"))
            self._shop = shop = ShopPresenter(self._record, self._dialogs, routes, self.go, self._file_pages(), here())
            shop.in_window(Kiosk(self._frame, AtLogin(self._elsewhere())))
        return self._shop

    def _elsewhere(self) -> Path | None:
        """Return where the record lies if that is not its usual place; the demo's is nowhere to come back to."""
        from shopclock.record.file.place import usual_place

        path = self._record.path
        return None if demo_said(self._record.floor) or path == usual_place() else path.absolute()

    def _make_shop(self) -> Screen:
        from shopclock.screens.shop.screen import ShopScreen

        return ShopScreen(self._look, self._shop_presenter(), self._record.clock.moment)

    def _file_pages(self) -> dict[tuple[str, str], Callable[[PagedPresenter], Page]]:
        benches = {} if self._exchanging is None else {("Benches", "who exchanges with whom"): self._benches_page}
        return {
            ("Old notes", "from a spreadsheet"): self._notes_page,
            ("Spreadsheet", "all of it or a part"): self._spreadsheet_page,
            ("Copies", "of the record"): self._copies_page,
            ("Shop and desk", "take along, bring back"): self._along_page,
            **benches,
        }

    def _benches_page(self, stack: PagedPresenter) -> Page:
        from shopclock.screens.shop.pages.benches import BenchesPage

        if self._exchanging is None:
            raise ValueError(stack)
        return BenchesPage(stack, self._exchanging)

    def _spreadsheet_page(self, stack: PagedPresenter) -> Page:
        from shopclock.screens.shop.pages.spreadsheet import SpreadsheetPage

        return SpreadsheetPage(stack, self._exporting())

    def _notes_page(self, stack: PagedPresenter) -> Page:
        from shopclock.screens.notes.bringing import Bringing
        from shopclock.screens.notes.pages.files import FilesPage

        if self._bringing is None:
            self._bringing = Bringing(self._record, self._background)
        return FilesPage(stack, self._bringing, self._places)

    def _places(self) -> list[Path]:
        """The folders in which files to come in are looked for: where the program saves, and the maker's own."""
        from shopclock.screens.files.drives import places_of_files
        from shopclock.screens.files.exporting import documents

        return list(dict.fromkeys((self._record.path.parent, documents(), *places_of_files())))

    def _along_page(self, stack: PagedPresenter) -> Page:
        from shopclock.screens.files.desk_copy import DeskCopies
        from shopclock.screens.files.drives import drives
        from shopclock.screens.shop.pages.along import AlongPage

        return AlongPage(stack, DeskCopies(self._record, self._dialogs, self._background, drives))

    def _copies_page(self, stack: PagedPresenter) -> Page:
        from shopclock.screens.files.drives import drives
        from shopclock.screens.shop.pages.copies import CopiesPage

        return CopiesPage(stack, self._copies_kept(), drives)
