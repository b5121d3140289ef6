"""How wide a text gets, near enough to lay pages out without a screen: never less than it is."""

_ADVANCES = (
    "265 325 400 650 655 860 674 218 410 410 565 680 303 469 298 390 689 490 630 660 678 645 661 595 661 "
    "661 298 303 680 680 680 563 1031 748 661 753 728 613 586 761 747 281 570 690 568 915 747 782 648 783 "
    "657 655 669 738 748 1036 715 725 667 410 390 410 488 477 498 581 636 588 636 598 386 634 625 273 273 "
    "582 273 912 622 614 633 633 409 562 389 622 586 851 574 586 572 410 374 410 680 "
)
"""Thousandths of the size for the characters from the space to ~: the wider of Inter Medium and Inter Bold."""
ADVANCE = {chr(32 + place): int(width) / 1000 for place, width in enumerate(_ADVANCES.split())}
OTHER = 1.05
"""For all other characters; the widest letters of most scripts are as wide as they are high."""
LOWER = 0.70
"""For other small letters of the Latin script: they are as wide as those without accents, or narrower than this."""


def width_mm(text: str, size_mm: float) -> float:
    """Return the width of a line of text."""
    return sum(_advance(letter) for letter in text) * size_mm


def _advance(letter: str) -> float:
    known = ADVANCE.get(letter)
    if known is not None:
        return known
    return LOWER if "\u00df" < letter < "\u0180" and letter.islower() and letter not in "æœ" else OTHER


def fitted(text: str, size_mm: float, least_mm: float, room_mm: float) -> tuple[str, float]:
    """Return text as large as it fits: smaller, down to `least_mm`, then cut with an ellipsis."""
    wide = width_mm(text, size_mm)
    if wide <= room_mm:
        return text, size_mm
    smaller = size_mm * room_mm / wide
    if smaller >= least_mm:
        return text, smaller
    kept = text
    while kept and width_mm(f"{kept}…", least_mm) > room_mm:
        kept = kept[:-1]
    return (f"{kept.rstrip()}…" if kept else ""), least_mm


def wrapped(text: str, size_mm: float, room_mm: float) -> list[str]:
    """Break text into lines between words; a word that is wider than the room is cut where it ends."""
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(joined, size_mm) <= room_mm:
            lines[-1] = joined
        else:
            lines += _pieces(word, size_mm, room_mm)
    return lines


def _pieces(word: str, size_mm: float, room_mm: float) -> list[str]:
    found = [""]
    for letter in word:
        if found[-1] and width_mm(found[-1] + letter, size_mm) > room_mm:
            found.append("")
        found[-1] += letter
    return found
