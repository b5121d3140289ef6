"""A chart of dots: a row a stage, a dot a piece, as plain values."""

from __future__ import annotations

from dataclasses import dataclass

from shopclock.shop.values.habits import figure


@dataclass(frozen=True, slots=True)
class PieceDot:
    """A piece in a row: its mark, its minutes, and whether it was lost later on."""

    mark: str
    minutes: float
    lost: bool = False


@dataclass(frozen=True, slots=True)
class DotRow:
    """A row: its name, its dots, the middle of them, its number, and a note where there is no middle.

    `told`: the sentence names it.
    """

    name: str
    dots: tuple[PieceDot, ...]
    number: str
    middle: float | None = None
    note: str = ""
    told: bool = False

    @property
    def longest(self) -> PieceDot:
        """The piece that took most, the first of them."""
        return max(self.dots, key=lambda dot: dot.minutes)

    @property
    def spoken(self) -> str:
        """All of it in words."""
        dots = ", ".join(f"{dot.mark} {figure(dot.minutes)}" + (", lost" if dot.lost else "") for dot in self.dots)
        middle = f"middle {self.number}" if self.number else ""
        return ", ".join(part for part in (f"{self.name}: {dots}", self.note, middle) if part)


@dataclass(frozen=True, slots=True)
class DotsPicture:
    """Rows of dots over one scale from 0; `head` stands over the numbers."""

    heading: str = ""
    head: str = ""
    rows: tuple[DotRow, ...] = ()

    @property
    def most(self) -> float:
        """The longest of all, at least a little."""
        return max((dot.minutes for row in self.rows for dot in row.dots), default=0.0) or 1.0

    @property
    def spoken(self) -> str:
        """All of it in words."""
        return "; ".join(row.spoken for row in self.rows)
