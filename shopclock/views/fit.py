"""Text into a box: shrink, then two lines, then more, then cut with a sign. Plain Python; the measure is given."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import takewhile

LINE_HEIGHT = 1.2
"""Height of a line as a share of the font size."""

TIGHT = 1.06
"""Height that one line alone needs for its capitals and descenders, as a share of the font size."""

CUT_SIGN = "\N{HORIZONTAL ELLIPSIS}"

DOT = "\N{MIDDLE DOT}"
"""Stands between two parts of a line; where the line is broken there it is left out."""

Measure = Callable[[str, int], float]
"""Width in px of a text at a font size in px."""

UNITS = "min|h|s|mm|cm|m|kg|g|in|thou|thousandths|HRC|days?|weeks?|months?"
DAYS = "Mon|Tue|Wed|Thu|Fri|Sat|Sun"
MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
BREAK = re.compile(
    r"[^\S\u00a0]+(?![^\S\u00a0]|[°%·])"  # a dot between two parts ends its line
    rf"(?!(?<=\d )(?:{UNITS}|{MONTHS})\b)"  # 40 min, 26 Nov
    rf"(?!(?<=(?:{DAYS}) )\d)(?!(?<=(?:{MONTHS}) )\d{{4}})"  # Thu 26, Nov 2026
    r"(?!(?<=tomorrow )\d)(?!(?<=yesterday )\d)"  # tomorrow 17:34
    r"(?!(?<=\d h )\d)(?!(?<=[A-Z]{3} )\d)"  # 1 h 40, EUR 12
    r"(?!(?<=\d )times in\b)(?!(?<=\d times )in\b)(?!(?<=\d times in )\d)"  # 8 times in 10
    r"(?!(?<=\d )of\b)(?!(?<=\d of )\d)"  # 2 of 7, 7 of the last 9
)
"""Where a line may be broken: at a space, but a date, a number and its unit, and how many of how many, stay whole."""
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
    """Room for a text: width and height in px, the font size wanted, how far one line may shrink, and any text.

    `lines`: 1, or 2 where it may have two, and rather than be cut as many as the height has.
    """

    width: float
    height: float
    px: int
    floor: int
    least: int
    lines: int = 2


def fit(text: str, box: TextBox, measure: Measure) -> FittedText:
    """The largest way to write `text` in `box`: one line, shrinking to the floor; two lines; more lines; then cut.

    Where the box is so low that two lines would be smaller than one, it stays one. Two lines are broken at a dot
    between two parts as long as they can be, so that the names in them stay whole.
    """
    sizes = range(box.px, min(box.least, box.px) - 1, -1)
    for px in range(box.px, min(box.floor, box.px) - 1, -1):
        if _fits((text,), px, box, measure):
            return FittedText((text,), px)
    ways: tuple[Callable[[int], tuple[str, ...]], ...] = (lambda _px: (text,),)
    if box.lines > 1:
        ways = (
            *((lambda px: halves(text, px, measure, at_dots=True),) if DOT in text else ()),
            lambda px: halves(text, px, measure),
            lambda px: tuple(map(_ended, _filled(text, px, box.width, measure))),
        )
    for way in ways:
        for px in sizes:
            for lines in (way(px), (text,)):
                if _fits(lines, px, box, measure):
                    return FittedText(lines, px)
    return _cut(text, box, measure)


def _fits(lines: tuple[str, ...], px: int, box: TextBox, measure: Measure) -> bool:
    high = len(lines) * px * LINE_HEIGHT
    return high <= box.height and all(measure(line, px) <= box.width for line in lines)


def halves(text: str, px: int, measure: Measure, *, at_dots: bool = False) -> tuple[str, ...]:
    """The text as two lines of the most equal width, at a dot alone where that is wished; one where it can't be."""
    words = _words(text)
    splits = [("".join(words[:i]), "".join(words[i:])) for i in range(1, len(words))]
    splits = [(_ended(first), rest) for first, rest in splits if not at_dots or first.rstrip(" ").endswith(DOT)]
    if not splits:
        return (text,)
    return min(splits, key=lambda pair: max(measure(line, px) for line in pair))


def _ended(line: str) -> str:
    """Return a line as it is written: without the space and the dot that parted it from the next."""
    return line.rstrip(" ").removesuffix(DOT).rstrip(" ")


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
    rows = int(box.height / (px * LINE_HEIGHT)) if box.lines > 1 else 1
    filled = _filled(text, px, box.width, measure)
    whole = list(takewhile(lambda line: measure(_ended(line), px) <= box.width, filled[: max(1, rows) - 1]))
    last = _shortened("".join(filled[len(whole) :]), px, box.width, measure)
    return FittedText((*map(_ended, whole), last), px, cut=True)


def _filled(text: str, px: int, width: float, measure: Measure) -> list[str]:
    """The text as lines with as many words each as the width has, and at least one; the spaces stay at their ends."""
    lines = [""]
    for word in _words(text):
        if lines[-1] and measure(_ended(lines[-1] + word), px) > width:
            lines.append("")
        lines[-1] += word
    return lines


def _shortened(text: str, px: int, width: float, measure: Measure) -> str:
    while text and measure(text + CUT_SIGN, px) > width:
        text = text[:-1]
    return text.rstrip() + CUT_SIGN
