"""Answers worked out beside the window: the quick one first, the newest question alone, mistakes in a sentence."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.long_work.async_answer import OURS, AsyncAnswer
from shopclock.screens.long_work.background import AtOnce
from shopclock.shop.values.errors import Refusal
from tests.screens.later import Later

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def told(n: int) -> int:
    return n


def refused() -> int:
    raise Refusal("No hours yet.")


def test_a_rough_answer_is_there_before_the_better_one() -> None:
    later, seen = Later(), []
    asked: AsyncAnswer[int] = AsyncAnswer(later, lambda: seen.append((asked.answer, asked.rough)))
    asked.ask("how many", partial(told, 1), partial(told, 2))
    later.go_on()
    later.go_on()
    assert seen == [(1, True), (2, False)]


def test_what_nobody_asks_any_more_is_not_worked_out_more_closely() -> None:
    later = Later()
    asked: AsyncAnswer[int] = AsyncAnswer(later, lambda: None)
    asked.ask(1, partial(told, 1), partial(told, 10))
    asked.ask(2, partial(told, 2))
    later.go_on()
    assert (asked.answer, later.waiting) == (2, [])


def test_only_the_newest_question_is_answered() -> None:
    later = Later()
    asked: AsyncAnswer[int] = AsyncAnswer(later, lambda: None)
    for n in (1, 2):
        asked.ask(n, partial(told, n))
    later.waiting.reverse()
    later.go_on()
    assert asked.answer == 2


def test_an_answer_stays_until_there_is_another_unless_it_is_dropped() -> None:
    later = Later()
    asked: AsyncAnswer[int] = AsyncAnswer(later, lambda: None)
    asked.ask(1, partial(told, 1))
    later.go_on()
    asked.ask(2, partial(told, 2))
    assert asked.answer == 1
    asked.drop()
    later.go_on()
    assert asked.answer is None


def test_no_press_at_all_is_a_question_like_any_other() -> None:
    """A new record has no press to be taken back; what it is asked is answered, once, and again when it was dropped."""
    asked: AsyncAnswer[int] = AsyncAnswer(AtOnce(), lambda: None)
    asked.ask(None, partial(told, 1))
    assert asked.answer == 1
    asked.ask(None, partial(told, 2))
    assert asked.answer == 1
    asked.drop()
    asked.ask(None, partial(told, 2))
    assert asked.answer == 2


def test_a_sentence_stands_in_the_answers_place() -> None:
    asked: AsyncAnswer[int] = AsyncAnswer(AtOnce(), lambda: None)
    asked.ask("how many", refused, partial(told, 2))
    assert (asked.answer, asked.why) == (None, "No hours yet.")


def test_a_mistake_of_ours_is_written_down_and_told_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_, **__: tmp_path)
    asked: AsyncAnswer[int] = AsyncAnswer(AtOnce(), lambda: None)
    asked.ask("how many", lambda: 1 // 0)
    assert (asked.answer, asked.why) == (None, OURS)
    assert "ZeroDivisionError" in (tmp_path / "shopclock.log").read_text("utf-8")
