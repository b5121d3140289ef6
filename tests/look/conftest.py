"""States are measured where else they would be drawn: what takes a picture has it held to the rules instead."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from shopclock.record.press.record import Record
from shopclock.widgets.frame import Frame
from tests.look.rules import faults

if TYPE_CHECKING:
    from typing import Any


@dataclass
class Measured:
    """What was drawn, and what was found in it; the record that was opened last says what runs."""

    states: int = 0
    found: list[tuple[str, list[str]]] = field(default_factory=list)
    record: Record | None = None

    @property
    def told(self) -> list[str]:
        """What was found, a line each."""
        return [f"{name}: {fault}" for name, faults in self.found for fault in faults]


class NoPicture:
    """Stands for a picture: it is named where it would be saved."""

    def __init__(self, measured: Measured, found: list[str]) -> None:
        self._measured = measured
        self._found = found

    def save(self, path: str) -> bool:
        """Note what was found under the name of the picture."""
        self._measured.states += 1
        if self._found:
            self._measured.found.append((Path(path).stem, self._found))
        return True


@pytest.fixture
def measured(monkeypatch: pytest.MonkeyPatch) -> Measured:
    """Every picture of a window that is taken from now on is measured."""
    made, begin = Measured(), Record.__init__

    def begun(record: Record, *args: Any, **options: Any) -> None:
        begin(record, *args, **options)
        made.record = record

    def measure(frame: Frame) -> NoPicture:
        assert made.record is not None
        return NoPicture(made, faults(frame, made.record.floor))

    monkeypatch.setattr(Record, "__init__", begun)
    monkeypatch.setattr(Frame, "grab", measure)
    return made
