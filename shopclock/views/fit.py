"""Text into a box: shrink, then two lines, then cut with a sign. Plain Python; the measure is given."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

LINE_HEIGHT = 1.2
"""Height of a line as a share of the font size."""

TIGHT = 1.06
"""Height that one line alone needs for its capitals and descenders, as a share of the font size."""

CUT_SIGN = "\N{HORIZONTAL ELLIPSIS}"

Measure = Callable[[str, int], float]
"""Width in px of a text at a font size in px."""

UNITS = "min|h|s|mm|cm|m|kg|g|in|thou|thousandths|HRC|days?|weeks?|months?"
DAYS = "Mon|Tue|Wed|Thu|Fri|Sat|Sun"
MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
BREAK = re.compile(
    r"[^\S\u00a0]+(?![^\S\u00a0]|[°%·])"  # a dot between two parts ends its line
    rf"(?!(?<=\d )(?:{UNITS}|{MONTHS})\b)"  # 40 min, 26 Nov
    rf"(?!(?<=(?:{DAYS}) )\d)(?!(?<=(?:{MONTHS}) )\d{{4}})"  # Thu 26, Nov 2026
    r"(?!(?<=\d h )\d)(?!(?<=[A-Z]{3} )\d)"  # 1 h 40, EUR 12
)
"""Where a line may be broken: at a space, but a date, and a number and its unit, stay whole."""
FOLDER = re.compile(r"(?<=[/\\])(?=[^\s/\\]{2})")
"""Where a place on the disk may be broken that has no space at all: after a folder."""
HAN_AND_KANA = "\u2e80-\u9fff\uf900-\ufaff"
WIDE = re.compile(rf"(?<=[{HAN_AND_KANA}])(?=[{HAN_AND_KANA}])(?![、。」』ーっゃゅょッャュョ々])")
"""Where Chinese and Japanese may be broken, which are written without spaces: not before what never begins a line."""


@dataclass(frozen=True, slots=True)
class FittedText:
    """Text as it is written: its lines, the font size in px, and whether something had to be cut off."""

    lines: tuple[str, ...]
    px: int
    cut: bool = False


@dataclass(frozen=True, slots=True)
class TextBox:
    """Room for a text: width and height in px, the font size wanted, how far one line may shrink, and two lines."""

    width: float
    height: float
    px: int
    floor: int
    least: int
    lines: int = 2


def fit(text: str, box: TextBox, measure: Measure) -> FittedText:
    """The largest way to write `text` in `box`: one line, shrinking to the floor; then two lines; then cut."""
    for px in range(box.px, min(box.floor, box.px) - 1, -1):
        if _fits((text,), px, box, measure):
            return FittedText((text,), px)
    for px in range(box.px, min(box.least, box.px) - 1, -1):
        lines = halves(text, px, measure) if box.lines > 1 else (text,)
        if _fits(lines, px, box, measure):
            return FittedText(lines, px)
    return _cut(text, box, measure)


def _fits(lines: tuple[str, ...], px: int, box: TextBox, measure: Measure) -> bool:
    high = len(lines) * px * LINE_HEIGHT
    return high <= box.height and all(measure(line, px) <= box.width for line in lines)


def halves(text: str, px: int, measure: Measure) -> tuple[str, ...]:
    """The text as two lines of the most equal width; one line where it can't be broken."""
    words = _words(text)
    splits = [("".join(words[:i]).rstrip(" "), "".join(words[i:])) for i in range(1, len(words))]
    if not splits:
        return (text,)
    return min(splits, key=lambda pair: max(measure(line, px) for line in pair))


def _words(text: str) -> list[str]:
    """Return what a line is made of, each with the space that follows it."""
    words = BREAK.split(text.strip())
    if len(words) == 1 and len(folders := FOLDER.split(words[0])) > 1:
        return folders
    spaced = [f"{word} " for word in words[:-1]] + words[-1:]
    return [part for word in spaced for part in WIDE.split(word)]


def _cut(text: str, box: TextBox, measure: Measure) -> FittedText:
    px = max(1, min(box.least, box.px, int(box.height / LINE_HEIGHT)))
    if measure(text, px) <= box.width:
        return FittedText((text,), px)
    two = box.lines > 1 and 2 * px * LINE_HEIGHT <= box.height
    first, rest = _filled(text, px, box.width, measure) if two else ("", text)
    lines = (first, _shortened(rest, px, box.width, measure))
    return FittedText(tuple(line for line in lines if line), px, cut=True)


def _filled(text: str, px: int, width: float, measure: Measure) -> tuple[str, str]:
    words, count = _words(text), 0
    while count < len(words) and measure("".join(words[: count + 1]).rstrip(" "), px) <= width:
        count += 1
    return "".join(words[:count]).rstrip(" "), "".join(words[count:])


def _shortened(text: str, px: int, width: float, measure: Measure) -> str:
    while text and measure(text + CUT_SIGN, px) > width:
        text = text[:-1]
    return text.rstrip() + CUT_SIGN
