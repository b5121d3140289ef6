"""What a press has done is said once: its own words, what was undone, what was put back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

from tests.walks.walk import MUGS, at_the_window, new_record, walk

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def test_each_press_is_announced_once(tmp_path: Path, qapp: object, monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[str] = []

    def hear(event: object) -> None:
        if isinstance(event, QAccessibleAnnouncementEvent):
            said.append(event.message())

    with at_the_window(new_record(tmp_path / "pots.shopclock")) as hand:
        walk(hand, MUGS + "wait 1")
        monkeypatch.setattr(QAccessible, "isActive", lambda: True)
        monkeypatch.setattr(QAccessible, "updateAccessibility", hear)
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
