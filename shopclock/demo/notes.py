"""A notebook of the year before the record begins, typed into a spreadsheet by somebody with habits of their own."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

NAME = "notebook 2023.csv"
HEADS = "When;Lot;Knife;What I did;Took;How many;Remarks"
WORK = (
    ("Profile, hacksaw", "1:20"),
    ("grind bevles", "95"),
    ("Drill", "25 min"),
    ("harden", "19.10-20.35"),
    ("Temper", "2h"),
    ("grind bevels", "1,5 h"),
    ("handle", "1h45"),
    ("Sharpening", "40 min."),
    ("Sweeping", "20"),
)
KNIVES = ("Paring 95", "paring 95", "Oyster")
REMARKS = ("", "", "new belt", "cold", "", "one stone only", "")
FIRST = date(2023, 1, 9)
LOTS = 14


def notebook() -> Iterator[str]:
    """Yield its lines: fourteen lots, what is the same as above left empty, a sum under each that is no row."""
    yield HEADS
    number = 0
    for lot in range(LOTS):
        pieces = 4 + lot % 3
        for at in range(2 * len(WORK)):
            work, took = WORK[at // 2]
            day = FIRST + timedelta(days=25 * lot + at)
            first = (f"L{lot + 1}", KNIVES[lot % 3]) if at == 0 else ("", "")
            many = "" if work == "Sweeping" else str(pieces)
            yield ";".join((_day(day, at), *first, work, took, many, REMARKS[number % len(REMARKS)]))
            number += 1
        yield f";;;Sum;{20 + lot} h;;"


def _day(day: date, at: int) -> str:
    """Write a day as somebody does who is in a hurry every third time."""
    return f"{day.day}/{day.month}/{day:%y}" if at % 3 else f"{day.day} {day:%B} {day.year}"


def write_notebook(folder: Path) -> Path:
    """Write it to a folder, in the letters of an old Windows, and return the file."""
    file = folder / NAME
    file.write_text("\r\n".join(notebook()), encoding="cp1252")
    return file
