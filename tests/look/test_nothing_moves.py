"""Nothing moves under a finger when an answer comes that was worked out beside the window."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import pytest

from shopclock.demo.shop import demo_shop
from shopclock.demo.write import default_end_us
from shopclock.tour.window import StoppedClock, Window
from shopclock.tour.window_hand import WindowHand
from tests.look.rules import place, pressable
from tests.screens.later import Later
from tests.screens.pictures import SCREENS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from PySide6.QtCore import QRect

    from shopclock.screens.long_work.runner import Failed, Task, Then
    from shopclock.tour.story import Press

SHORT = "1280x800"
WAYS: dict[str, tuple[Press, ...]] = {
    "batches": (("front", "batches"),),
    "review": (("front", "review"),),
    "review of an open batch": (("front", "review"), ("press", "Another"), ("press", "26-10")),
    "all stages": (("front", "trends"),),
    "a stage": (("front", "trends"), ("answer", ""), ("seek", "Grind bevels")),
    "the whole": (("front", "trends"), ("answer", ""), ("press", "The whole knife")),
    "plan": (("front", "plan"),),
    "an order": (("front", "plan"), ("seek", "Orla")),
    "promise": (("front", "plan"), ("press", "Promise or order")),
    "next batch": (("front", "plan"), ("press", "Next batch")),
    "the plan": (("front", "plan"), ("press", "The plan")),
    "day by day": (("front", "plan"), ("press", "The plan"), ("press", "Day by day")),
    "what if": (("front", "plan"), ("press", "The plan"), ("press", "What if")),
    "costs": (("front", "plan"), ("press", "Costs")),
    "a pattern's costs": (("front", "plan"), ("press", "Costs"), ("answer", ""), ("press", "Paring 95")),
    "earned": (("front", "plan"), ("press", "Costs"), ("press", "Earned")),
    "tool pays": (("front", "plan"), ("press", "Costs"), ("press", "Tool pays")),
}
"""The pages that wait for an answer, and how a finger comes to them."""


class Waiting(WindowHand):
    """A hand on a window whose answers come when it is told so."""

    later: Later

    def front(self, tab: str) -> None:
        """Bring the first page of a screen in sight."""
        self.open(tab)
        self._shell.press_tab(tab)
        self.see()

    def answer(self, _words: str = "") -> bool:
        """Let the answers come that are waiting, not what they ask for; tell whether there was any."""
        there = bool(self.later.waiting)
        self.later.go_on()
        self.see()
        return there

    def places(self) -> dict[str, QRect]:
        """Where each thing stands that a finger reaches, by its key or its words."""
        return {str(one.state.key or one.state.title): place(one, self.frame) for one in pressable(self.frame)}


def moved(before: dict[str, QRect], after: dict[str, QRect]) -> Iterator[str]:
    """Say what stands elsewhere now, and what has come up where something else could be pressed."""
    for key in before.keys() & after.keys():
        if before[key] != after[key]:
            yield f"{key} moved from {before[key].getRect()} to {after[key].getRect()}"
    for key in after.keys() - before.keys():
        yield from (f"{key} came where {old} was" for old, at in before.items() if at.intersects(after[key]))


class Remembered(Later):
    """Works out once what is asked in every window: each has a copy of the same record."""

    def __init__(self, found: dict[str, Any]) -> None:
        super().__init__()
        self._found = found

    def run(self, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        def once() -> object:
            assert isinstance(task, partial)
            asked = repr([task.func, *(one for one in task.args if not str(one).endswith(".shopclock")), task.keywords])
            if asked not in self._found:
                self._found[asked] = task(*arguments)
            return self._found[asked]

        super().run(once, (), then, failed)


@pytest.mark.parametrize("screens", [[SHORT], pytest.param([*SCREENS], marks=pytest.mark.long)], ids=["one", "four"])
def test_what_can_be_pressed_stays_where_it_is_when_an_answer_comes(
    tmp_path: Path, copied_demo: Callable[..., Path], monkeypatch: pytest.MonkeyPatch, screens: list[str]
) -> None:
    told, answered, found = [], set(), dict[str, Any]()
    for screen in screens:
        later = Remembered(found)
        monkeypatch.setattr("shopclock.tour.window_hand.AtOnce", lambda later=later: later)
        width, height = map(int, screen.split("x"))
        window, clock = Window(width, height, SCREENS[screen], "dark"), StoppedClock(default_end_us(demo_shop()))
        hand = Waiting(tmp_path, copied_demo(), window, clock)
        hand.later = later
        for name, way in WAYS.items():
            for act, words in way:
                getattr(hand, act)(words)
            before = hand.places()
            while hand.answer():
                answered.add(name)
                after = hand.places()
                told += [f"{screen}, {name}: {fault}" for fault in moved(before, after)]
                before = after
        hand.close()
    assert told == []
    assert answered == set(WAYS)
