"""The tour reaches its end in every window, the narrowest too."""

from pathlib import Path

import pytest

from shopclock.tour import story
from shopclock.tour.story import STORY, tour, windows
from tests.plenty import IN_CI


@pytest.mark.long
def test_every_screen_is_drawn_in_every_window(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In CI in four of the sixteen: each size once, either theme and either hands twice."""
    every = windows(everything=True)
    if IN_CI:
        every = every[::5]
        monkeypatch.setattr(story, "windows", lambda **_: every)
    drawn = sum(act == "draw" for act, _ in STORY)
    assert tour(tmp_path, everything=True) == drawn * len(every)
