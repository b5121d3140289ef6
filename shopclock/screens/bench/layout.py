"""Layout of the Bench: plain Python, so that a test can compute that nothing is cut or overlaps.

What has no room on the plate gives way in a fixed order.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache, partial
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

from shopclock.screens.bench.state import Verb
from shopclock.views.fit import LINE_HEIGHT
from shopclock.views.metrics import CAP_SHARE, CLOCK_DIGIT_MM
from shopclock.views.rect import Rect

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from shopclock.views.button import Button
    from shopclock.views.metrics import Sizes

CLOCK_WIDE = 4.01
"""Width of 0:00:00 as a share of its font size in Inter Bold."""
GOOD_MM = 19.0
GOOD_SHARE = 0.13
"""The clock is given this share of the window's height before buttons get a place of their own."""
NAME_WIDE = 7.2
"""The least width of the stage's name, in heights of its text."""
ONE_LINE, TWO_LINES = 0.6, 1.5
"""A title has two lines before it shrinks to less than this; together they are so high, in heights of its text."""
NAME_HIGH = 1.15
"""Height of a title of one line with all its descenders, in heights of its text."""
LINE_WIDE = 22.0
"""The least width of the pace line, in heights of its text."""
CORNER = 11
"""What stands on the plate keeps this far from its edges, so that nothing crosses its cut corners, px."""
DONE_WIDE = 4.7
"""The least width of *Done: C*, in heights of its text."""
TOOL_WIDE = 5.6
"""The least width of a button on the plate, in heights of its text."""
CHARACTER_WIDE = 0.53
"""The width of a character in heights of its text, on the safe side for Inter Medium."""
LONG_LINE = 60
"""Characters of a long pace line."""
HEADING_WIDE = 10.0
"""The least width of the side's heading, in heights of its text."""
GROUPS = 3
"""All, None, The others."""
SIDE_SHARE = 0.31
"""The part of the width that the side would like."""
PICKS_MOST = 3
"""More methods than these stand behind one button."""
SHOP_WORK = 0.7
"""Shop work is this wide beside a batch."""
WEIGHTS: dict[str, int] = {
    Verb.STOP: 24,
    Verb.CARRY_ON: 24,
    Verb.NEXT: 33,
    Verb.DONE: 31,
    Verb.THROUGH: 20,
    Verb.NOT_RIGHT: 16,
    Verb.UNDO: 16,
    Verb.PUT_BACK: 14,
}
"""How the bottom row divides its width."""


@dataclass(frozen=True, slots=True)
class Content:
    """Contents of the plate: letters, methods, tools; a clock, or a big button in its stead; a caution's characters.

    `groups`: All, None and The others have a use beside the letters. `name`: the width of the title at its full size,
    px, where that is more than the least a plate has for it. `long_picks`: the name of a method needs two places;
    `long_low`: it does where it stands low, beside the name. `line`: characters of the pace line, where it is long.
    """

    letters: int
    picks: int
    tools: int
    clock: bool = True
    caution: int = 0
    groups: bool = True
    name: int = 0
    long_picks: bool = False
    long_low: bool = False
    line: int = 0


class SlotKind(StrEnum):
    """Kind of a button on the plate: a method, the way to all of them, a tool, the way to the pieces."""

    PICK = "pick"
    METHODS = "methods"
    TOOL = "tool"
    PIECES = "pieces"


class Slot(NamedTuple):
    """Slot of a button: the first, second … of its kind, from 0."""

    kind: SlotKind
    number: int = 0


METHODS, LOW = Slot(SlotKind.METHODS), Slot(SlotKind.METHODS, 1)
"""The method, as a touch target, or where that has no room, beside the name, LOW_MM high."""
LOW_MM = 12.0


@dataclass(frozen=True, slots=True)
class PlateLayout:
    """The places. `buttons` are the tools, each by its slot."""

    name: Rect
    line: Rect | None
    caution: Rect | None
    clock: Rect
    share: Rect | None
    buttons: tuple[tuple[Slot, Rect], ...]
    letters: Rect | None = None
    groups: tuple[Rect, ...] = ()

    @property
    def digits(self) -> float:
        """Height of the digits of the clock, px."""
        return min(self.clock.h / 1.04, self.clock.w / CLOCK_WIDE * CAP_SHARE)

    @property
    def rects(self) -> list[Rect]:
        """Every place that is taken."""
        plain = [self.name, self.line, self.caution, self.clock, self.share, self.letters]
        return [*(r for r in plain if r is not None), *self.groups, *(r for _, r in self.buttons)]


class _Tried(NamedTuple):
    """A layout, and what gives the one with the same buttons and the largest clock: that takes as long again."""

    made: PlateLayout
    largest: Callable[[], PlateLayout]


@lru_cache(maxsize=64)  # it tries out many, at each press; what comes next was on the plate before
def plate_layout(area: Rect, sizes: Sizes, content: Content) -> PlateLayout | None:
    """Return the best layout: letters in sight, then a large clock, then as many buttons as have room.

    Nothing where the area is too small for any. The letters are tried in one row, in two, and behind one button.
    """
    least, good = sizes.px_mm * CLOCK_DIGIT_MM, max(sizes.px_mm * GOOD_MM, sizes.height * GOOD_SHARE)
    if not content.clock:
        least, good = sizes.touch, round(sizes.touch * 1.2)
    lettered = (one for rows in (1, 2) for one in _layouts(area, sizes, content, rows)) if content.letters else ()
    tried: list[_Tried] = []
    for group in (lettered, _layouts(area, sizes, content, 0)):
        smaller: list[_Tried] = []
        for one in group:
            if _size(one.made, content) >= good:
                return one.largest()
            smaller.append(one)
        for one in smaller:
            if _size(one.made, content) >= least:
                return one.largest()
        tried += smaller
    return max((one.largest() for one in tried), key=lambda made: _size(made, content), default=None)


def _size(made: PlateLayout, content: Content) -> float:
    """Size of the clock, or the big button in its place,: the height of its digits, or its own, px."""
    return made.digits if content.clock else min(made.clock.h, made.clock.w / 3)


def tool_wide(sizes: Sizes) -> int:
    """Width of a button on the plate, px: a touch target, wider where text is large for a screen far away."""
    return max(sizes.touch, round(TOOL_WIDE * sizes.body_text))


def letters_wide(sizes: Sizes, letters: int) -> int:
    """Width of the letters in one row, px."""
    return letters * (sizes.touch + sizes.gap) - sizes.gap


def _layouts(area: Rect, sizes: Sizes, content: Content, rows: int) -> Iterator[_Tried]:
    """Yield the layouts with the letters in so many rows, the fullest first."""
    pad = max(sizes.gap // 2, CORNER)
    inner = Rect(area.x + pad, area.y + pad, area.w - 2 * pad, area.h - 2 * pad)
    upper, letters, groups = _below(inner, sizes, content, rows)
    if upper is None or upper.h < 1:
        return
    for slots in _tools(content, pieces=not groups and bool(content.letters)):
        for apart in (True, False) if content.caution else (False,):
            row = _row(upper, sizes, content, slots, apart=apart)
            block = _block(upper, sizes, content, slots, apart=apart)
            if row is None or (block is not None and _size(block, content) > _size(row, content)):
                row = block
            if row is not None and _size(row, content) < sizes.px_mm * CLOCK_DIGIT_MM:
                row = _stepped(upper, sizes, content, slots, apart=apart) or row
            if row is not None:
                made = replace(row, letters=letters, groups=groups)
                yield _Tried(made, partial(_largest, made, upper, sizes, content, slots, apart=apart))


def _largest(
    made: PlateLayout, upper: Rect, sizes: Sizes, content: Content, slots: tuple[Slot, ...], *, apart: bool
) -> PlateLayout:
    """Return the layout that has the same buttons and the largest clock."""
    hooks = _hooks(upper, sizes, content, slots, apart=apart)
    most = max((made, *hooks), key=lambda one: _size(one, content))
    return replace(most, letters=made.letters, groups=made.groups)


def _below(inner: Rect, sizes: Sizes, content: Content, rows: int) -> tuple[Rect | None, Rect | None, tuple[Rect, ...]]:
    """Return what is left above the letters, the letters, and All, None, The others beside them."""
    if not rows:
        return inner, None, ()
    columns = ceil(content.letters / rows)
    wide, step = letters_wide(sizes, columns), sizes.touch + sizes.gap
    high = rows * step - sizes.gap
    if wide > inner.w or (rows > 1 and letters_wide(sizes, content.letters) <= inner.w):
        return None, None, ()
    top = inner.bottom - high
    upper = Rect(inner.x, inner.y, inner.w, top - sizes.gap - inner.y)
    beside = inner.w - wide - 2 * sizes.gap
    if content.groups and beside >= letters_wide(sizes, 3):
        left = inner.right - letters_wide(sizes, 3)
        groups = tuple(Rect(left + n * step, inner.bottom - sizes.touch, sizes.touch, sizes.touch) for n in range(3))
        return upper, Rect(inner.x, top, left - 2 * sizes.gap - inner.x, high), groups
    return upper, Rect(inner.x, top, inner.w, high), ()


def _tools(content: Content, *, pieces: bool) -> Iterator[tuple[Slot, ...]]:
    """Yield the buttons' slots, from all of them down to the method, Adjust and Pieces: behind these is everything.

    The method never gives way: a wrong one spoils what the record is asked for. Before a start there is no Adjust.
    """
    picks = tuple(Slot(SlotKind.PICK, n) for n in range(content.picks))
    tools = tuple(Slot(SlotKind.TOOL, n) for n in range(content.tools))
    last = (Slot(SlotKind.PIECES),) if pieces else ()
    fewer = [tools[n:] for n in range(len(tools) + (not content.clock))] or [()]
    given: list[tuple[Slot, ...]] = []
    if content.picks:
        each = content.picks <= PICKS_MOST and not content.long_picks
        given += [picks + some + last for some in fewer] if each else []
        given += [(way, *some, *last) for way in (METHODS, LOW) for some in fewer]
    if not content.picks:
        given += [some + last for some in fewer]
    yield from dict.fromkeys(given)


def _row(
    upper: Rect, sizes: Sizes, content: Content, slots: tuple[Slot, ...], *, apart: bool, column: int = 0
) -> PlateLayout | None:
    """The buttons in a row at the right of the stage's name; the clock and the line under both, beside a `column`."""
    slots, low = _without_low(slots)
    cells = _cells(slots, content)
    wide = cells * (tool_wide(sizes) + sizes.gap) - sizes.gap if slots else 0
    text = Rect(upper.x, upper.y, upper.w - wide - (sizes.gap if slots else 0), upper.h)
    if text.w - (_low_wide(sizes, content) if low else 0) < NAME_WIDE * sizes.stage_text:
        return None
    if apart and content.caution * CHARACTER_WIDE * sizes.small_text > 1.9 * text.w:
        return None
    name, line = (_name(text, sizes, content), None) if content.clock else _name_and_line(text, sizes)
    name, placed = _beside_name(name, text, sizes, content, low=low)
    quiet = _lines(text, name.bottom, sizes, content.caution) if apart else None
    told = max(rect.bottom for rect in (name, line, quiet) if rect is not None)
    below = max(told, upper.y + sizes.touch + sizes.gap if slots else 0, *(r.bottom for _, r in placed))
    rest = Rect(upper.x, below, upper.w - column, upper.bottom - below)
    shared = max(content.line, 1 if apart else content.caution)
    found = _clock(rest, sizes, content, _lines(rest, 0, sizes, shared).h if line is None else 0)
    if found is None:
        return None
    clock, share = found
    under = Rect(rest.x, clock.bottom, rest.w, _lines(rest, 0, sizes, shared).h)
    places = _in_rows(Rect(upper.right - wide, upper.y, max(1, wide), upper.h), sizes, slots, content)
    return PlateLayout(name, line or under, quiet, clock, share, placed + places)


def _hooks(
    upper: Rect, sizes: Sizes, content: Content, slots: tuple[Slot, ...], *, apart: bool
) -> Iterator[PlateLayout]:
    """Yield the layouts with as many buttons in a row as the name leaves room for, the rest in a column at the right.

    The clock stands under the row, as wide as the column leaves it.
    """
    step = sizes.touch + sizes.gap
    for down in range(1, (upper.h + sizes.gap) // step):
        across, rest = slots[:-down], slots[-down:]
        if not content.clock or LOW in rest or not across:
            return
        right = Rect(upper.right - tool_wide(sizes), upper.y + step, tool_wide(sizes), upper.h - step)
        found = _row(upper, sizes, content, across, apart=apart, column=right.w + sizes.gap)
        if found is not None:
            yield replace(found, buttons=found.buttons + _in_rows(right, sizes, rest, content))


def _block(upper: Rect, sizes: Sizes, content: Content, slots: tuple[Slot, ...], *, apart: bool) -> PlateLayout | None:
    """The buttons in a block at the right; name, line and clock at the left of it."""
    slots, low = _without_low(slots)
    step = sizes.touch + sizes.gap
    rows = min(2, (upper.h + sizes.gap) // step)
    if not rows or not slots:
        return None
    columns = max(ceil(_cells(slots, content) / rows), _cells(slots[:1], content))
    wide = columns * (tool_wide(sizes) + sizes.gap) - sizes.gap
    text = Rect(upper.x, upper.y, upper.w - wide - sizes.gap, upper.h)
    if text.w - (_low_wide(sizes, content) if low else 0) < NAME_WIDE * sizes.stage_text:
        return None
    if text.w < LINE_WIDE * sizes.body_text:
        return None
    if content.clock:
        name, placed = _beside_name(_name(text, sizes, content), text, sizes, content, low=low)
        below_name = max(name.bottom, *(rect.bottom for _, rect in placed), 0)
        line = _lines(text, below_name, sizes, max(content.line, 1 if apart else content.caution))
    else:
        name, line = _name_and_line(text, sizes)
        name, placed = _beside_name(name, text, sizes, content, low=low)
        if placed:
            line = _lines(text, max(name.bottom, placed[0][1].bottom), sizes, 1)
    quiet = _lines(text, line.bottom, sizes, content.caution) if apart else None
    below = (quiet or line).bottom + (sizes.gap // 4 if content.clock else 0)
    found = _clock(Rect(text.x, below, text.w, upper.bottom - below), sizes, content, 0)
    if found is None:
        return None
    right = Rect(upper.right - wide, upper.y, wide, upper.h)
    return PlateLayout(name, line, quiet, *found, placed + _in_rows(right, sizes, slots, content))


def _stepped(
    upper: Rect, sizes: Sizes, content: Content, slots: tuple[Slot, ...], *, apart: bool
) -> PlateLayout | None:
    """The buttons in a block at the right, and the tool that would give way first at the left of its upper row.

    The clock stands under that one, as wide as the block leaves it.
    """
    extra = next((slot for slot in slots if slot.kind is SlotKind.TOOL), None)
    rest = tuple(slot for slot in slots if slot != extra)
    columns, step = ceil(_cells(rest, content) / 2), sizes.touch + sizes.gap
    if extra is None or LOW in slots or not rest or not content.clock or 2 * step - sizes.gap > upper.h:
        return None
    wide = columns * (tool_wide(sizes) + sizes.gap)
    text = Rect(upper.x, upper.y, upper.w - wide - tool_wide(sizes) - sizes.gap, upper.h)
    if text.w < max(NAME_WIDE * sizes.stage_text, LINE_WIDE * sizes.body_text):
        return None
    name = _name(text, sizes, content)
    line = _lines(text, name.bottom, sizes, max(LONG_LINE, content.line, 0 if apart else content.caution))
    quiet = _lines(text, line.bottom, sizes, content.caution) if apart else None
    below = max((quiet or line).bottom + sizes.gap // 4, upper.y + step)
    found = _clock(Rect(upper.x, below, upper.w - wide, upper.bottom - below), sizes, content, 0)
    if found is None:
        return None
    first = (extra, Rect(text.right + sizes.gap, upper.y, tool_wide(sizes), sizes.touch))
    right = Rect(upper.right - wide + sizes.gap, upper.y, wide - sizes.gap, upper.h)
    return PlateLayout(name, line, quiet, *found, (first, *_in_rows(right, sizes, rest, content)))


def _low_wide(sizes: Sizes, content: Content) -> int:
    return (1 + content.long_low) * (tool_wide(sizes) + sizes.gap)


def _cells(slots: tuple[Slot, ...], content: Content) -> int:
    """Return how many places the slots take: the method has two where its name is long."""
    return len(slots) + (METHODS in slots and content.long_picks)


def _without_low(slots: tuple[Slot, ...]) -> tuple[tuple[Slot, ...], bool]:
    """Return the slots without the low method, and whether it was among them."""
    return tuple(slot for slot in slots if slot != LOW), LOW in slots


def _beside_name(
    name: Rect, text: Rect, sizes: Sizes, content: Content, *, low: bool
) -> tuple[Rect, tuple[tuple[Slot, Rect], ...]]:
    """Return the name, and the method beside it, as high as a tab, where it stands there."""
    if not low:
        return name, ()
    wide = _low_wide(sizes, content)
    high = max(name.h, sizes.px(LOW_MM))
    place = Rect(text.right - wide + sizes.gap, text.y, wide - sizes.gap, high)
    return Rect(name.x, name.y, min(name.w, place.x - sizes.gap - name.x), high), ((LOW, place),)


def _in_rows(area: Rect, sizes: Sizes, slots: tuple[Slot, ...], content: Content) -> tuple[tuple[Slot, Rect], ...]:
    """Return the places of buttons in rows as wide as an area; the method, which comes first, may have two."""
    wide, high, gap = tool_wide(sizes), sizes.touch, sizes.gap
    columns, found, place = (area.w + gap) // (wide + gap), [], 0
    for slot in slots:
        more = _cells((slot,), content) - 1
        left, top = area.x + place % columns * (wide + gap), area.y + place // columns * (high + gap)
        found.append((slot, Rect(left, top, wide + more * (wide + gap), high)))
        place += 1 + more
    return tuple(found)


def _name(text: Rect, sizes: Sizes, content: Content) -> Rect:
    """Return the place of the title: of one line, or of two smaller ones where one would shrink too far."""
    lines = TWO_LINES if content.name * ONE_LINE > text.w else NAME_HIGH
    return Rect(text.x, text.y, text.w, round(sizes.stage_text * lines) + 1)


def _name_and_line(text: Rect, sizes: Sizes) -> tuple[Rect, Rect]:
    """Return the two under each other, or beside each other where the big button needs the height."""
    name = Rect(text.x, text.y, text.w, round(sizes.action_text * LINE_HEIGHT) + 2)  # a batch: the stage is below it
    line = _lines(text, name.bottom, sizes, 1)
    if text.bottom - line.bottom >= 1.3 * sizes.touch:
        return name, Rect(line.x, line.y, line.w, line.h + sizes.gap // 2)
    half = text.w // 2
    return Rect(name.x, name.y, half - sizes.gap, name.h), Rect(name.x + half, name.y, text.w - half, name.h)


def _lines(text: Rect, top: int, sizes: Sizes, characters: int) -> Rect:
    """Return the place of a text of so many characters: one line, or two; where text is large, any may take two."""
    characters = max(characters, LONG_LINE if sizes.scale > 1 else 0)
    lines = 2 if characters * CHARACTER_WIDE * sizes.body_text > text.w else 1
    return Rect(text.x, top, text.w, round(sizes.body_text * LINE_HEIGHT) * lines + 2)


def _clock(rest: Rect, sizes: Sizes, content: Content, line: int) -> tuple[Rect, Rect | None] | None:
    """Return the place of the clock, or of the big button, and of the progress line under it and the line of text.

    The progress line gives way before the clock is smaller than it must be.
    """
    thin = max(4, round(6 * sizes.unit)) if content.clock else 0
    if rest.h - line - thin - sizes.gap // 3 < CLOCK_DIGIT_MM * sizes.px_mm * 1.04:
        thin = 0
    high = rest.h - line - (thin + sizes.gap // 3 if thin else 0)
    if high < 1:
        return None
    clock = Rect(rest.x, rest.y, rest.w, high)
    return clock, Rect(rest.x, rest.bottom - thin, rest.w, thin) if thin else None


WHOLE, ALL_KEPT = 1, 3


class Tiles(NamedTuple):
    """Tiles at the side: how many, which of them have a corner of their own, and whether they stand side by side."""

    number: int
    corners: tuple[int, ...] = ()
    paired: bool = False


@dataclass(frozen=True, slots=True)
class SideLayout:
    """The side: its heading if it has room, its tiles, the corners of some of them by number, the route."""

    heading: Rect | None
    tiles: tuple[Rect, ...]
    route: Rect
    corners: tuple[tuple[int, Rect], ...] = ()


@dataclass(frozen=True, slots=True)
class BenchLayout:
    """All places on the Bench, in the Bench's own pixels."""

    top: tuple[Rect, ...]
    plate: Rect
    on_plate: PlateLayout
    side: SideLayout | None
    bottom: tuple[Rect, ...]


@lru_cache(maxsize=64)
def bench_layout(
    area: Rect, sizes: Sizes, content: Content, batches: int, tiles: Tiles | None, bottom: tuple[str, ...]
) -> BenchLayout:
    """Return the places of a Bench with so many buttons at the top and tiles at the side (None: no side)."""
    gap = sizes.gap
    weights = [1.0] * batches + [SHOP_WORK]
    top = share_row(Rect(area.x, area.y, area.w, sizes.touch), weights, gap, sizes.touch)
    low = Rect(area.x, area.bottom - sizes.touch, area.w, sizes.touch)
    row = share_row(low, [WEIGHTS[key] for key in bottom], gap, [least_wide(key, sizes) for key in bottom])
    middle = Rect(area.x, area.y + sizes.touch + gap, area.w, low.y - 2 * gap - area.y - sizes.touch)
    plate, on_plate = _plate(middle, sizes, content, [0] if tiles is None else _sides(middle, sizes, content))
    if tiles is None:
        return BenchLayout(top, plate, on_plate, None, row)
    side = Rect(plate.right + gap, middle.y, middle.right - plate.right - gap, middle.h)
    return BenchLayout(top, plate, on_plate, _side(side, sizes, tiles), row)


def with_room(bottom: tuple[Button, ...], wide: int, sizes: Sizes) -> tuple[Button, ...]:
    """Return the buttons along the bottom that can be as wide as a touch target.

    What gives way: a Put back that has nothing to put back, then All through, which letters do too.
    """
    kept = list(bottom)
    for gives_way in (*(b for b in bottom if b.verb == Verb.PUT_BACK and not b.enabled), *_of(bottom, Verb.THROUGH)):
        if sum(least_wide(button.verb, sizes) + sizes.gap for button in kept) - sizes.gap > wide:
            kept.remove(gives_way)
    return tuple(kept)


def least_wide(verb: str, sizes: Sizes) -> int:
    """Width that a button along the bottom has at least: *Done* is read from the bench."""
    return max(sizes.touch, round(DONE_WIDE * sizes.stage_text)) if verb == Verb.DONE else sizes.touch


def _of(bottom: tuple[Button, ...], verb: Verb) -> Iterator[Button]:
    return (button for button in bottom if button.verb == verb)


def share_row(row: Rect, weights: Sequence[float], gap: int, least: int | Sequence[int]) -> tuple[Rect, ...]:
    """Divide a row in proportion to weights; nothing is narrower than its `least` as long as there is room."""
    leasts = [least] * len(weights) if isinstance(least, int) else least
    room = row.w - gap * (len(weights) - 1)
    widths = [room * weight / sum(weights) for weight in weights]
    lacking = sum(max(0.0, most - wide) for wide, most in zip(widths, leasts, strict=True))
    spare = sum(max(0.0, wide - most) for wide, most in zip(widths, leasts, strict=True))
    if lacking and spare >= lacking:
        widths = [
            max(most, wide - max(0.0, wide - most) * lacking / spare) for wide, most in zip(widths, leasts, strict=True)
        ]
    found, left = [], row.x + 0.5  # halves go up: `round` sends them to the even number, which takes 1 px of a gap
    for wide in widths:
        found.append(Rect(int(left), row.y, int(left + wide) - int(left), row.h))
        left += wide + gap
    return tuple(found)


def _plate(middle: Rect, sizes: Sizes, content: Content, sides: list[int]) -> tuple[Rect, PlateLayout]:
    """Give the plate the width that its letters and methods need, as long as the side keeps what it must have.

    The clock, or the big button in its place, is as large as it must be wherever that can be.
    """
    made: list[tuple[int, Rect, PlateLayout]] = []
    for side in sides:
        plate = Rect(middle.x, middle.y, middle.w - (side + sizes.gap if side else 0), middle.h)
        found = plate_layout(plate, sizes, content)
        if found is None:
            continue
        if (kept := _kept(found, sizes, content)) == (ALL_KEPT if content.letters else WHOLE):
            return plate, found
        made.append((kept, plate, found))
    if not made:
        raise ValueError(f"{sizes.width} × {sizes.height} px is too small for the Bench")
    most = max(kept for kept, _, _ in made)
    _, plate, found = max(made, key=lambda one: (one[0], 0 if most else one[2].digits))
    return plate, found


def _kept(found: PlateLayout, sizes: Sizes, content: Content) -> int:
    """Return how much a plate keeps: 1 for a whole clock, 2 with the letters too, 3 with a button for each method."""
    if not is_whole(found, sizes, content):
        return 0
    if found.letters is None:
        return WHOLE
    return ALL_KEPT if _shows_methods(found, content) else 2


def is_whole(found: PlateLayout, sizes: Sizes, content: Content) -> bool:
    """Tell whether the clock, or what is in its place, is as large as it must be."""
    return found.digits >= sizes.px_mm * CLOCK_DIGIT_MM if content.clock else found.clock.h >= sizes.touch


def _shows_methods(found: PlateLayout, content: Content) -> bool:
    """Tell whether each method has its button, where there are no more than three."""
    return not 0 < content.picks <= PICKS_MOST or any(slot.kind is SlotKind.PICK for slot, _ in found.buttons)


def _sides(middle: Rect, sizes: Sizes, content: Content) -> list[int]:
    """Return how wide the side can be, the best first: as it likes, as the letters leave it, as it must."""
    likes = round(middle.w * SIDE_SHARE)
    must = 2 * sizes.touch + sizes.gap
    left = middle.w - 3 * sizes.gap - letters_wide(sizes, content.letters) if content.letters else likes
    between = [left] if must <= left < likes else []
    return [
        max(likes, min(must, middle.w // 2)),
        *between,
        min(must, likes),
        min(round(sizes.touch * 1.4), likes),
        sizes.touch,
    ]


def _side(side: Rect, sizes: Sizes, tiles: Tiles) -> SideLayout:
    """Tiles first as many as fit, the whole route last, the heading where there is still room."""
    gap, touch = sizes.gap, sizes.touch
    columns = 2 if tiles.paired and side.w >= 2 * touch + gap else 1
    outline = min(side.h, max(touch, round(sizes.body_text * 4.6) + 2 * gap))
    rest = side.h - outline - gap
    fit = min(ceil(tiles.number / columns), max(0, (rest + gap) // (touch + gap)))
    head = round(sizes.body_text * LINE_HEIGHT) + 2
    room = (
        rest - fit * (touch + gap) + gap >= head
        and side.w >= max(2 * touch, HEADING_WIDE * sizes.body_text)
        and (fit > 0 or not tiles.number)
    )
    heading = Rect(side.x, side.y, side.w, head) if room else None
    top = side.y + (head + gap // 2 if heading is not None else 0)
    high = min(round(touch * 1.3), (side.bottom - outline - top) // fit - gap) if fit else 0
    wide = (side.w - (columns - 1) * gap) // columns
    places = [
        Rect(side.x + n % columns * (wide + gap), top + n // columns * (high + gap), wide, high)
        for n in range(min(tiles.number, fit * columns))
    ]
    corners = []
    for n in tiles.corners if wide >= 2 * touch + gap else ():
        if n < len(places):
            place = places[n]
            corners.append((n, Rect(place.right - touch, place.y, touch, place.h)))
            places[n] = Rect(place.x, place.y, place.w - touch - gap, place.h)
    return SideLayout(heading, tuple(places), Rect(side.x, side.bottom - outline, side.w, outline), tuple(corners))
