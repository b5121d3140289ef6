"""What has no room in its bar stands beside it."""

from __future__ import annotations

import pytest

from shopclock.views.bars_picture import LineSpan, named_beside, widest_gap


def span(start: float, end: float, batch: str, step: str, pieces: str = "", kind: str = "by hand") -> LineSpan:
    names = (f"{batch} {step} {pieces}", f"{batch} {step}", step) if pieces else (f"{batch} {step}", step)
    return LineSpan(start, end, kind, names)


DAY = (
    span(0.1, 0.2, "26-10", "Grind bevels", "A–F"),
    span(0.0, 0.9, "26-11", "Temper", kind="waits"),
    span(0.2, 0.3, "26-10", "Mark", "A, B"),
    span(0.3, 0.4, "26-12", "Saw out"),
    span(0.5, 0.6, "26-12", "Saw out"),
    span(0.6, 1.0, "26-12", "Profile"),
)


def test_a_batch_is_named_once_for_its_steps_and_a_wait_never() -> None:
    """Only what is three tenths of the line or more has room for its name; a step that goes on is told once."""
    said = named_beside(DAY, lambda _name, share: share >= 0.3)
    assert said == "26-10 Grind bevels A–F; Mark A, B; 26-12 Saw out"


def test_where_there_is_little_room_the_pieces_are_left_out() -> None:
    said = named_beside(DAY, lambda _name, share: share >= 0.3, 1)
    assert said == "26-10 Grind bevels; Mark; 26-12 Saw out"


def test_what_all_fits_has_nothing_beside_it() -> None:
    assert named_beside(DAY, lambda _name, _share: True) == ""


@pytest.mark.parametrize(
    ("at", "gap"),
    [([], (0.0, 1.0)), ([(0.7, 1.0)], (0.0, 0.7)), ([(0.0, 0.3)], (0.3, 1.0)), ([(0.1, 0.2), (0.8, 0.9)], (0.2, 0.8)),
     ([(0.1, 0.9), (0.2, 0.3)], (0.0, 0.1))],
)  # fmt: skip
def test_the_widest_gap_has_nothing_on_it(at: list[tuple[float, float]], gap: tuple[float, float]) -> None:
    """One bar may lie within another."""
    found = widest_gap([span(start, end, "26-10", "Mark") for start, end in at])
    assert found == pytest.approx(gap)
