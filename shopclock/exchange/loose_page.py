"""A page whose cells come in any order, though the file takes its rows one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable


class LoosePage:
    """Keeps the few cells of a sheet that is laid out by hand, and writes them by row when it is finished."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self._cells: list[tuple[int, Callable[[], object]]] = []

    def string(self, row: int, place: int, text: str, form: Any = None) -> None:
        """Write a text; it is one whatever it begins with."""
        self._cells.append((row, lambda: self.page.write_string(row, place, text, form)))

    def number(self, row: int, place: int, value: float, form: Any = None) -> None:
        """Write a number."""
        self._cells.append((row, lambda: self.page.write_number(row, place, value, form)))

    def formula(self, row: int, place: int, formula: str, form: Any, value: Any) -> None:
        """Write a formula with the value that it has, for programs that don't work it out on opening."""
        self._cells.append((row, lambda: self.page.write_formula(row, place, formula, form, value)))

    def wide(self, row: int, place: int, last: int, text: str, form: Any) -> None:
        """Write a text into cells joined up to the last; joining alone would take what looks like a formula for one."""
        self._cells.append((row, lambda: self.page.merge_range(row, place, row, last, "", form)))
        self.string(row, place, text, form)

    def high(self, row: int, points: float) -> None:
        """Make a row so many points high."""
        self._cells.append((row, lambda: self.page.set_row(row, points)))

    def finish(self) -> None:
        """Write the cells."""
        for _, write in sorted(self._cells, key=lambda cell: cell[0]):
            write()
