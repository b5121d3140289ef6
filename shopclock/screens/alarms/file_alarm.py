"""The record isn't at its place any more, or its disk fails: said before all else, and all of it written elsewhere."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.record.file.guard import Away
from shopclock.screens.alarms.state import AlarmState, AlarmVerb
from shopclock.screens.base_presenter import BasePresenter
from shopclock.shop.state.wording import when_text, zone_of
from shopclock.shop.values.errors import ShopError
from shopclock.views.button import Button, Press

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.file.guard import Trouble
    from shopclock.record.press.record import Record
    from shopclock.shop.values.clock import Moment
    from shopclock.views.dialogs import Dialogs

TITLES = {
    Away.GONE: "The record is not at its place any more",
    Away.OTHER: "Another file lies in the record's place",
    Away.OLDER: "An older state of the record has taken its place",
    Away.WRITTEN: "Another program has pressed in this record",
    Away.SPOILT: "The record's file was written over",
    Away.FAILS: "The disk of the record gives errors",
}


class FileAlarm(BasePresenter):
    """Alarm of the file itself. `go_on` opens the window again on a record that was written elsewhere."""

    def __init__(self, record: Record, dialogs: Dialogs, go_on: Callable[[Path], None]) -> None:
        super().__init__(record, dialogs)
        self._go_on = go_on
        self._place: Path | None = None

    def state(self, now_us: int) -> AlarmState | None:
        """Trouble with the file, or what came of one; nothing while the record is at its place."""
        trouble = self.record.file.trouble
        if trouble is None:
            self._place = None
            return self._told()
        return AlarmState(
            about=f"file {trouble.why}",
            role="red",
            title=TITLES[trouble.why],
            line=self._line(trouble, now_us),
            lines=2,
            answers=(self._again(),) if trouble.why is Away.WRITTEN else self._elsewhere(),
        )

    def press(self, press: Press, moment: Moment | None) -> bool:  # noqa: ARG002  # nothing of it is timed
        """Write all of it elsewhere, open it again, or put away what was told."""
        if press.verb == AlarmVerb.FILE_WRITE:
            self._write(self._to())
        elif press.verb == AlarmVerb.FILE_TYPED:
            self.dialogs.text("Write all of it to the file", str(self._to()), self._typed)
        elif press.verb == AlarmVerb.FILE_AGAIN:
            self._go_on(self.record.path)
        elif press.verb == AlarmVerb.FILE_SEEN:
            self.record.file.told = ""
        else:
            return False
        return True

    def _told(self) -> AlarmState | None:
        told = self.record.file.told
        if not told:
            return None
        seen = Button("Seen", role="primary", key=Press(AlarmVerb.FILE_SEEN))
        return AlarmState(about="file told", role="straw", title=told, line=str(self.record.path), answers=(seen,))

    def _to(self) -> Path:
        from shopclock.record.rescue.rescue import free_place

        if self._place is None:
            self._place = free_place(self.record)
        return self._place

    def _again(self) -> Button:
        return Button("Open it again", "with what was pressed there", role="primary", key=Press(AlarmVerb.FILE_AGAIN))

    def _elsewhere(self) -> tuple[Button, ...]:
        to = self._to()
        back = to == self.record.path
        title = "Write all of it back" if back else "Write all of it to a new place, and go on there"
        return (
            Button(title, "to its place" if back else str(to), role="primary", key=Press(AlarmVerb.FILE_WRITE)),
            Button("To another place", "typed", key=Press(AlarmVerb.FILE_TYPED)),
        )

    def _line(self, trouble: Trouble, now_us: int) -> str:
        path, zone = self.record.path, zone_of(self.floor)
        last = self.record.anchor.last_us if self.record.anchor is not None else now_us
        kept = f"This window holds all until {when_text(last, now_us, zone)}; what is pressed now is not kept."
        newest = f" Its newest press is of {when_text(trouble.newest_us, now_us, zone)}." if trouble.newest_us else ""
        if trouble.why is Away.WRITTEN:
            return f"Nothing of it was written over. All of this window is kept there too.{newest} Its place: {path}"
        where = {
            Away.GONE: f" It is {trouble.name} now." if trouble.name is not None else " It was removed, or its folder.",
            Away.OLDER: f" A program that keeps folders alike may have put it there.{newest}",
            Away.FAILS: " It is tried again all the time: look at its plug.",
        }.get(trouble.why, newest)
        unsettled = self.record.file.unsettled
        maybe = f" Whether “{unsettled.what}” is kept there is not known yet." if unsettled is not None else ""
        return f"{kept}{maybe}{where} Its place: {path}"

    def _typed(self, text: str | None) -> None:
        if text:
            self._write(Path(text.strip()).expanduser())

    def _write(self, target: Path) -> None:
        from shopclock.record.rescue.rescue import rescue

        self._place = None
        try:
            with self.record.one_moment():
                rescued = rescue(self.record, target)
        except ShopError as error:
            self.dialogs.tell(str(error))
            return
        if rescued.missing:
            said = "1 press is" if rescued.missing == 1 else f"{rescued.missing} presses are"
            self.dialogs.tell(
                f"{target} is written. {said} not in it: no state of the record that has them could be found.",
                then=lambda: self._go_on(target),
            )
            return
        self._go_on(target)
