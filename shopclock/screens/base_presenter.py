"""Presenters' common base: the record takes a press, or its sentence is told."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Protocol, TypeVar

from shopclock.record.file.guard import NotInPlace
from shopclock.shop.state.wording import when_text, zone_of
from shopclock.shop.values.entities import Batch, Interval, Piece, Route, Step, Tally
from shopclock.shop.values.errors import ShopError
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from shopclock.record.file.undo import Pressed
    from shopclock.record.press.record import Record
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.views.dialogs import Dialogs

T = TypeVar("T")
ASKED_AFTER_US = 5 * 60 * 1_000_000
"""Undo of a stop older than this lets the clock run on through the pause: it asks first."""

IN_FULL = 29
"""So many characters of what Undo takes back stand in two lines on its button: a third would shrink *Undo* itself."""

EVENING_US = 6 * 3600 * 1_000_000
"""More work than this is more than an evening: what takes it away asks first. Common practice, no source."""


class ShowScreen(Protocol):
    """Brings another screen in sight, at a batch if one is named."""

    def __call__(self, tab_key: str, batch_id: int | None = None, /) -> object:
        """Show the screen of this tab."""


class BasePresenter:
    """The base of presenters: one record, one way to ask. `by_maker`: whose presses, if not the first maker's."""

    by_maker: int | None = None

    def __init__(self, record: Record, dialogs: Dialogs) -> None:
        self.record = record
        self.dialogs = dialogs
        self._undone: tuple[Pressed, str, str] | None = None

    @property
    def floor(self) -> ShopFloor:
        """The shop as it is now."""
        return self.record.floor

    def _press(
        self, what: str, rule: Callable[[Transaction], T], moment: Moment | None = None, *, undoable: bool = True
    ) -> T | None:
        """Do a press and say its warnings; on a refusal say why and return nothing."""
        try:
            result, warnings = self.record.press(what, rule, moment, undoable=undoable, maker_id=self.by_maker)
        except NotInPlace:  # the whole screen says so
            return None
        except ShopError as error:
            self.dialogs.tell(str(error))
            return None
        if warnings:
            self._warn(warnings)
        return result

    def any_work(self, since_us: int, until_us: int) -> bool:
        """Tell whether anything was timed from one instant to another."""
        return bool(self.record.reads.worked_between(since_us, until_us))

    def _warn(self, warnings: Sequence[str]) -> None:
        """Say what a press went against, knowingly; a screen with a line for it says it there."""
        for warning in warnings:
            self.dialogs.tell(warning)

    @property
    def undo_names(self) -> str:
        """Press that Undo would take back, by name; empty when there is none."""
        pressed = self.record.next_undo
        return pressed.what if pressed is not None else ""

    @property
    def undo_in_full(self) -> str:
        """The same away from the Bench: Stop, Grind bevels 26-10, 20:31.

        What has no room on its button is left out: first the stage, then the batch, then the time.
        """
        pressed = self.record.next_undo
        if pressed is None:
            return ""
        if self._undone is None or self._undone[0] != pressed:
            self._undone = pressed, *self._stage_and_batch(pressed.what)
        what, stage, batch = pressed.what, *self._undone[1:]
        at = when_text(pressed.at_us, self.record.instant(), zone_of(self.floor))
        for parts in ((what, f"{stage} {batch}".strip(), at), (what, batch, at), (what, at)):
            if len(said := ", ".join(filter(None, parts))) <= IN_FULL:
                return said
        return what

    def _stage_and_batch(self, what: str) -> tuple[str, str]:
        """Stage and batch of what Undo would change, where it is one of each and its name doesn't say it."""
        try:
            changes = self.record.undo_changes()
        except ShopError:
            return "", ""  # the undo itself will say what is wrong with the disk
        things = [change.thing for change in changes or ()]
        steps = {t.step_id for t in things if isinstance(t, Interval | Tally) and t.step_id is not None}
        worked = [step for number in steps if (step := self.floor.find(Step, number)) is not None]
        of = {step.batch_id for step in worked} | {t.batch_id for t in things if isinstance(t, Piece)}
        batches = [batch for number in of if (batch := self.floor.find(Batch, number)) is not None]
        stage = worked[0].name if len(worked) == 1 and worked[0].name not in what else ""
        return stage, batches[0].name if len(batches) == 1 and batches[0].name not in what else ""

    @property
    def put_back_names(self) -> str:
        """Press that Put back would put back, by name; empty when there is none."""
        pressed = self.record.next_put_back
        return pressed.what if pressed is not None else ""

    def press_undo(self, moment: Moment | None = None) -> None:
        """Take back the newest press; asks where that starts a clock that stood for a while, or takes much away."""
        pressed = self.record.next_undo
        if pressed is None:
            return
        old = self.record.instant(moment) - pressed.at_us > ASKED_AFTER_US
        loses = self._undo_loses()
        if not loses and (not old or not self._undo_reopens()):
            self._undo(moment)
            return
        detail = loses or "the clock goes on as if it had not stopped"
        choices = (Choice("undo", "Undo", detail), Choice("leave", "Leave it"))
        self.dialogs.ask(f"Take back {pressed.what}", choices, lambda key: self._undo(None) if key == "undo" else None)

    def press_put_back(self, moment: Moment | None = None) -> None:
        """Put back what Undo took back last."""
        if self.record.next_put_back is not None:
            self._undo(moment, self.record.put_back)

    def _undo_loses(self) -> str:
        """Say what would be gone that is more than a press: a batch, a route, an evening; empty where nothing is."""
        try:
            changes = self.record.undo_changes()
        except ShopError:
            return ""  # the undo itself will say what is wrong with the disk
        if changes is None:
            return "all that came with it goes"
        gone = [change.thing for change in changes if change.after is None]
        if any(isinstance(thing, Batch) for thing in gone):
            return "the batch goes, and its pieces"
        if any(isinstance(thing, Route) for thing in gone):
            return "the route goes, and its steps"
        worked = sum((i.end_us or i.start_us) - i.start_us for i in gone if isinstance(i, Interval) and i.kind.attended)
        return "more than an evening of work goes" if worked > EVENING_US else ""

    def _undo_reopens(self) -> bool:
        try:
            return self.record.undo_reopens()
        except ShopError:
            return False  # the undo itself will say what is wrong with the disk

    def _undo(self, moment: Moment | None, way: Callable[[Moment | None], str] | None = None) -> None:
        try:
            (way or self.record.undo)(moment)
        except NotInPlace:
            return
        except ShopError as error:
            self.dialogs.tell(str(error))


class DrawnPresenter(BasePresenter):
    """The base of presenters that say when they are to be drawn again.

    `pressing` is set until all that a press changes is done: nothing is to be drawn before.
    """

    def __init__(self, record: Record, dialogs: Dialogs) -> None:
        super().__init__(record, dialogs)
        self.pressing = False
        self._listeners: list[Callable[[], None]] = []

    def on_change(self, listener: Callable[[], None]) -> None:
        """Call this when something is to be drawn again."""
        self._listeners.append(listener)

    def changed(self) -> None:
        """Tell that what is in sight is to be drawn again."""
        self._forget()
        for listener in self._listeners:
            listener()

    def _forget(self) -> None:
        """Content that was drawn is no longer what there is."""

    @contextmanager
    def one_change(self) -> Iterator[None]:
        """Tell who draws once of all that is changed meanwhile, whether the record or what is remembered."""
        if self.pressing:
            yield
            return
        self.pressing = True
        try:
            yield
        finally:
            self.pressing = False
            self.changed()
