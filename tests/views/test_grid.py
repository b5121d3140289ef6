"""How many buttons stand beside and below each other."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.views.grid import Room, largest_grid, page_grid, whole_grid

rooms = st.builds(
    Room, st.floats(10, 3000), st.floats(10, 2000), st.floats(20, 200), st.floats(20, 200), st.floats(0, 30)
)


@pytest.mark.parametrize(("count", "columns", "rows"), [(1, 1, 1), (7, 7, 1), (8, 4, 2), (12, 6, 2), (14, 7, 2)])
def test_letters_stand_in_the_fewest_rows_evenly_filled(count: int, columns: int, rows: int) -> None:
    grid = whole_grid(count, Room(760, 210, 100, 100, 10))
    assert grid is not None
    assert (grid.columns, grid.rows) == (columns, rows)


@pytest.mark.parametrize(("count", "columns", "rows"), [(1, 1, 1), (7, 7, 1), (12, 6, 2), (20, 10, 2)])
def test_where_there_is_room_below_more_rows_make_larger_letters(count: int, columns: int, rows: int) -> None:
    """A laptop's page of pieces: twelve stood in one row, half as wide as high, over an empty half of the screen."""
    grid = largest_grid(count, Room(1334, 480, 88, 88, 9, most=2.0))
    assert grid is not None
    assert (grid.columns, grid.rows) == (columns, rows)


def test_a_second_row_that_makes_letters_hardly_larger_is_not_begun() -> None:
    """Seven on a television: in two rows they were a little higher, and the right of the page stayed empty."""
    grid = largest_grid(7, Room(1870, 700, 135, 135, 22, most=2.0))
    assert grid is not None
    assert (grid.columns, grid.rows) == (7, 1)


@given(st.integers(1, 24), rooms)
def test_the_largest_letters_are_no_smaller_than_in_the_fewest_rows(count: int, room: Room) -> None:
    grid, fewest = largest_grid(count, room), whole_grid(count, room)
    assert (grid is None) == (fewest is None)
    if grid is not None and fewest is not None:
        assert grid.cells >= count
        assert min(grid.width, grid.height) >= min(fewest.width, fewest.height)
        left, top = grid.place(grid.cells - 1, room.gap)
        assert left + grid.width <= room.width + 1e-6
        assert top + grid.height <= room.height + 1e-6


def test_without_room_for_all_there_is_no_grid() -> None:
    assert whole_grid(15, Room(760, 210, 100, 100, 10)) is None
    assert whole_grid(1, Room(90, 210, 100, 100, 10)) is None
    assert whole_grid(0, Room(760, 210, 100, 100, 10)) is None


@given(st.integers(1, 24), rooms)
def test_a_whole_grid_holds_all_in_the_room_and_no_cell_is_below_the_least(count: int, room: Room) -> None:
    grid = whole_grid(count, room)
    if grid is None:
        return
    assert grid.cells >= count
    assert grid.width >= room.cell_width - 1e-6
    assert grid.height >= min(room.cell_height, room.height) - 1e-6
    left, top = grid.place(grid.cells - 1, room.gap)
    assert left + grid.width <= room.width + 1e-6
    assert top + grid.height <= room.height + 1e-6


@given(st.integers(0, 60), rooms, st.floats(50, 500))
def test_a_page_of_tiles_stays_in_the_room(count: int, room: Room, wish: float) -> None:
    grid = page_grid(count, room, wish)
    left, top = grid.place(grid.cells - 1, room.gap)
    assert left + grid.width <= room.width + 1e-6
    assert top + grid.height <= room.height + 1e-6


def test_twenty_steps_are_one_page_on_the_tablet_and_the_small_laptop() -> None:
    for width, height, px_mm in ((1240, 620, 5.94), (996, 470, 4.63)):
        touch = 20 * px_mm
        grid = page_grid(20, Room(width, height, 36 * px_mm, touch, 2 * px_mm), 60 * px_mm)
        assert grid.cells >= 20


@pytest.mark.parametrize(("count", "columns", "rows"), [(1, 1, 1), (3, 3, 1), (5, 3, 2), (9, 3, 3), (12, 4, 3)])
def test_tiles_that_fit_fill_their_rows_evenly(count: int, columns: int, rows: int) -> None:
    grid = page_grid(count, Room(1240, 500, 200, 118, 10), 300)
    assert (grid.columns, grid.rows) == (columns, rows)
