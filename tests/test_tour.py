"""The tour reaches its end in every window, the narrowest too."""

from pathlib import Path

import pytest

from shopclock.tour.story import STORY, tour, windows


@pytest.mark.long
def test_every_screen_is_drawn_in_every_window(tmp_path: Path) -> None:
    drawn = sum(act == "draw" for act, _ in STORY)
    assert tour(tmp_path, everything=True) == drawn * len(windows(everything=True))
