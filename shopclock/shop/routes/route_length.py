"""Lengths as a maker writes them: "2 h", "1 h 30 min", "3 days"."""

import re

DAY_S, HOUR_S, MINUTE_S = 86_400, 3_600, 60

LONGEST_S = 366 * DAY_S
"""No wait of a shop is longer than a year; more is a slip of the keys."""

_LENGTH = re.compile(r"(?:([0-9]{1,9}) *days?)? *(?:([0-9]{1,9}) *h)? *(?:([0-9]{1,9}) *min)? *(?:([0-9]{1,9}) *s)?")


def length_s(text: str) -> int | None:
    """Return the seconds in a written length, or None where it can't be read as one."""
    match = _LENGTH.fullmatch(text.strip())
    if match is None or not any(match.groups()):
        return None
    counts = (int(group or 0) for group in match.groups())
    return sum(n * unit for n, unit in zip(counts, (DAY_S, HOUR_S, MINUTE_S, 1), strict=True))


def length_text(seconds: int) -> str:
    """Write a length of whole seconds as a maker would: whole days from two days on."""
    if seconds >= 2 * DAY_S and seconds % DAY_S == 0:
        return f"{seconds // DAY_S} days"
    hours, rest = divmod(seconds, HOUR_S)
    minutes, rest = divmod(rest, MINUTE_S)
    parts = ((hours, "h"), (minutes, "min"), (rest, "s"))
    return " ".join(f"{n} {unit}" for n, unit in parts if n) or "0 s"
