"""What a press has done is said once: its own words, what was undone, what was put back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

from shopclock.widgets import accessible
from shopclock.widgets.accessible import Notice, heard, stops
from tests.walks.walk import MUGS, at_the_window, new_record, walk

if TYPE_CHECKING:
    from pathlib import Path

    import pytest
    from pytestqt.qtbot import QtBot


def test_each_press_is_announced_once(tmp_path: Path, qapp: object, monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[str] = []

    def hear(event: object) -> None:
        if isinstance(event, QAccessibleAnnouncementEvent):
            said.append(event.message())

    with at_the_window(new_record(tmp_path / "pots.shopclock")) as hand:
        walk(hand, MUGS + "wait 1")
        monkeypatch.setattr(QAccessible, "isActive", lambda: True)
        monkeypatch.setattr(QAccessible, "updateAccessibility", hear)
        monkeypatch.setattr(accessible, "BY_NOTICE", False)
        walk(hand, "press Done: A\npress 26-01\nopen plan\nopen bench")
        assert said == ["Done: A"]
        walk(hand, "press Undo\npress Put back\npress Undo\npress Done: A\npress Next: Stiffen")
        assert said[1:] == ["Undone: Done: A", "Put back: Done: A", "Undone: Done: A", "Done: A", "Next: Stiffen"]


def test_nothing_is_announced_where_nobody_listens(
    tmp_path: Path, qapp: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[object] = []
    with at_the_window(new_record(tmp_path / "pots.shopclock")) as hand:
        monkeypatch.setattr(QAccessible, "isActive", lambda: False)
        monkeypatch.setattr(QAccessible, "updateAccessibility", said.append)
        walk(hand, MUGS + "wait 1")
    assert said == []


def test_where_announcements_are_not_heard_a_notice_comes_into_sight_and_goes(
    tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(accessible, "BY_NOTICE", True)
    shown: list[str] = []
    monkeypatch.setattr(Notice, "showEvent", lambda notice, _: shown.append(notice.accessibleName()))
    with at_the_window(new_record(tmp_path / "pots.shopclock")) as hand:
        walk(hand, MUGS)
        monkeypatch.setattr(QAccessible, "isActive", lambda: True)
        walk(hand, "press Done: A\npress Undo")
        assert shown == ["Done: A", "Undone: Done: A"]
        notices = hand.frame.findChildren(Notice)
        told = [QAccessible.queryAccessibleInterface(notice) for notice in notices]
        assert {one.role() for one in told} == {QAccessible.Role.Notification}
        assert [one.text(QAccessible.Text.Name) for one in told] == shown
        assert not set(notices) & set(stops(hand.frame))
        monkeypatch.setattr(accessible, "NOTICED_MS", 0)
        walk(hand, "press Put back")
        qtbot.waitUntil(lambda: shown[-1] not in [one.accessibleName() for one in hand.frame.findChildren(Notice)])
        assert shown[-1] == "Put back: Done: A"


def test_dots_between_parts_are_not_named() -> None:
    assert heard("26-10  ·  2 of 4 blades · 7.5 to 8") == "26-10, 2 of 4 blades, 7.5 to 8"
