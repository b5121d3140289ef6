"""PySide6 6.12 gives back one reference to None too many at every call; before Python 3.12 that ends in an abort."""

from __future__ import annotations

import sys

from PySide6.QtCore import QObject

CALLS = 1000


def test_calls_into_qt_leave_the_count_of_none_alone() -> None:
    thing = QObject()
    before = sys.getrefcount(None)
    for _ in range(CALLS):
        thing.setObjectName("blade")
    lost = before - sys.getrefcount(None)
    assert lost < CALLS // 4, f"{lost} references to None lost in {CALLS} calls: this PySide6 needs Python 3.12"
