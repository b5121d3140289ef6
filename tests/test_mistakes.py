"""Mistakes of ours are written down with their trace and told once a place."""

from pathlib import Path

import pytest

from shopclock.mistakes import AnswerLost, Hook


def fail(words: str) -> None:
    raise ZeroDivisionError(words)


def caught(words: str) -> BaseException:
    with pytest.raises(ZeroDivisionError) as caught_one:
        fail(words)
    return caught_one.value


def test_each_place_is_told_once_and_written_down_each_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_args, **_more: tmp_path)
    told: list[str] = []
    hook = Hook(told.append)
    for words in ("first", "second"):
        error = caught(words)
        hook(type(error), error, error.__traceback__)
    log = tmp_path / "shopclock.log"
    assert told == [f"Something went wrong that is our mistake. What was shown is kept. It is written down in {log}."]
    text = log.read_text("utf-8")
    assert text.index("first") < text.index("second")
    assert "Traceback" in text


def test_without_a_place_for_a_log_it_is_told_all_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_args, **_more: in_the_way / "log")
    told: list[str] = []
    error = caught("only")
    Hook(told.append)(type(error), error, error.__traceback__)
    assert told[0].endswith("no file: there is no place to write one.")


def lost_answer() -> BaseException:
    with pytest.raises(AnswerLost) as caught_one:
        raise AnswerLost from caught("on its way")
    return caught_one.value


def test_each_lost_answer_is_told_and_written_down_with_what_lost_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_args, **_more: tmp_path)
    told: list[str] = []
    hook = Hook(told.append)
    for _ in range(3):
        error = lost_answer()
        hook(type(error), error, error.__traceback__)
    assert len(told) == 3
    assert told[0].startswith("Your answer was lost")
    assert (tmp_path / "shopclock.log").read_text("utf-8").count("ZeroDivisionError: on its way") == 3
