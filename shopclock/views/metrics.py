"""Millimetres to pixels, and how large things are: plain Python, no Qt."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

MM_PER_INCH = 25.4
DPI_TRUSTED = (70.0, 300.0)
DPI_ASSUMED = 96.0
TOUCH_MM = 20.0
"""Standing at a kiosk 20 mm keys are large enough: Colle & Hiszem 2004, Ergonomics 47(13), 1406-1423."""
GLOVES_MM = 30.0
CLOCK_DIGIT_MM = 17.5
"""20 minutes of arc at 3 m: NUREG-0700 rev. 2, 1.3.1-4."""
CLOCK_DIGIT_GOOD_MM = 30.0
BENCH_MM = 7.0
"""12 minutes of arc at 2 m, by the same formula: the running stage and *Done* at the Bench."""
LEAST_PX = 12
"""No text is smaller, on any screen."""
CAP_SHARE = 0.727
"""Height of a digit as a share of the font size in Inter (1490 of 2048 units)."""


TEXT_SCALES = {"usual": 1.0, "large": 1.4, "larger": 1.7}
"""What a text size makes of every font."""
FAR_PX_MM = 3.0
"""A screen with fewer pixels a millimetre is a television, looked at from some metres."""


def text_scale(size: str, px_mm: float) -> float:
    """Factor of a text size; of any other word what the screen asks for: large on a television."""
    return TEXT_SCALES.get(size, TEXT_SCALES["large" if px_mm < FAR_PX_MM else "usual"])


def px_per_mm(dpi: float, ruler: float = 1.0) -> float:
    """Number of pixels a millimetre has on a screen that says `dpi` of itself.

    What a screen says is believed between 70 and 300 dpi, otherwise 96 is assumed. `ruler` is the factor measured
    with a ruler on this screen, kept per screen name.
    """
    low, high = DPI_TRUSTED
    trusted = dpi if low <= dpi <= high else DPI_ASSUMED
    return trusted / MM_PER_INCH * ruler


def ruler_factor(dpi: float, bar_px: float, bar_mm: float) -> float:
    """The ruler factor, when a bar drawn `bar_px` long was measured to be `bar_mm` long."""
    return bar_px / bar_mm / px_per_mm(dpi)


@dataclass(frozen=True)  # without slots: what was worked out once is kept beside the fields
class Sizes:
    """Sizes of everything in a window of `width` x `height` px, at `px_mm` px per millimetre.

    `scale` is the maker's own factor on text, 0.8 to 2.
    """

    width: int
    height: int
    px_mm: float
    gloves: bool = False
    scale: float = 1.0

    @cached_property
    def unit(self) -> float:
        """The window's size as a share of 1280 x 800 px."""
        return min(self.width / 1280, self.height / 800)

    def px(self, mm: float) -> int:
        """Millimetres as whole pixels."""
        return round(mm * self.px_mm)

    @cached_property
    def touch(self) -> int:
        """The least side of what is pressed while working: 20 mm, 30 in gloves, unless the window is too small for it.

        On a large screen far away it is a tenth of the window instead, more where text is large, so that what is
        written on it can be read.
        """
        wanted = self.px_mm * (GLOVES_MM if self.gloves else TOUCH_MM)
        return round(min(max(wanted, self.height * 0.1 * min(self.scale, 1.25)), self.height * 0.24))

    @cached_property
    def tab(self) -> int:
        """The height of what is not needed while working: 12 mm, the least target of WCAG 2.2, 2.5.5 (11.6 mm)."""
        wanted = self.px_mm * (16.0 if self.gloves else 12.0)
        return round(min(max(wanted, 52 * self.unit), self.height * 0.12))

    @cached_property
    def header_tab(self) -> int:
        """The height of a tab at the top: 12 mm, with gloves too, which move from screen to screen less often."""
        return round(min(max(self.px_mm * 12.0, 52 * self.unit), self.height * 0.12))

    @cached_property
    def header(self) -> int:
        """The height of the top of the window: a tab, and 3 mm to what is below."""
        return self.header_tab + round(self.px_mm * 3.0 + 0.5)

    @cached_property
    def row(self) -> int:
        """The height of a row that is pressed: 12 mm, 18 with gloves."""
        wanted = self.px_mm * (18.0 if self.gloves else 12.0)
        return round(min(max(wanted, 52 * self.unit), self.height * 0.14))

    @cached_property
    def gap(self) -> int:
        """Between two buttons: 2 mm, 3 in gloves."""
        return round(max(self.px_mm * (3.0 if self.gloves else 2.0), 10 * self.unit))

    @cached_property
    def margin(self) -> int:
        """Around a screen's content."""
        return round(max(16 * self.unit, self.gap))

    @cached_property
    def small_text(self) -> int:
        """The word under a letter, a caption."""
        return self._text(17, 3.0)

    @cached_property
    def least_text(self) -> int:
        """Size to which any text shrinks before it is cut: a caption of the usual size, however large text is."""
        return round(self.small_text / max(1.0, self.scale))

    @cached_property
    def body_text(self) -> int:
        """Size of text that is read standing close."""
        return self._text(20, 3.4)

    @cached_property
    def title_text(self) -> int:
        """The first line of a tile."""
        return self._text(25, 4.2)

    @cached_property
    def sentence_text(self) -> int:
        """The one sentence a screen answers with."""
        return self._text(36, 6.0)

    @cached_property
    def action_text(self) -> int:
        """Stop, Next, Done: the bottom row."""
        return self._text(36, 6.0)

    @cached_property
    def stage_text(self) -> int:
        """The running stage and *Done*: read at 2 m, unless the window is too small for it."""
        wanted = min(BENCH_MM * self.px_mm / CAP_SHARE + 0.5, self.height * 0.1)
        return max(self._text(40, 7.0), round(wanted))

    @cached_property
    def typed_text(self) -> int:
        """A figure while it is typed."""
        return self._text(72, 12.0)

    @cached_property
    def clock_text_min(self) -> int:
        """The font size whose digits are 17.5 mm high: the least of the clock, and what is read at 3 m."""
        return round(CLOCK_DIGIT_MM * self.px_mm / CAP_SHARE + 0.5)

    def _text(self, at_1280: float, least_mm: float) -> int:
        drawn = at_1280 * self.unit
        return max(8, round(max(drawn, min(least_mm * self.px_mm, drawn * 1.3)) * self.scale))
