"""Old notes of any length: ten rows a day, eighty a batch, of a pattern of their own."""

from datetime import date, timedelta

HEADS = "Date;Batch;Pattern;Stage;Minutes;Qty;Note\n"
STAGES = ("Saw", "Bevel", "Harden", "Handle", "Sharpen", "Polish", "Etch", "Sheath")


def notes_text(rows: int) -> str:
    """A file of so many rows, separated by semicolons."""
    return HEADS + "".join(map(_row, range(rows)))


def _row(i: int) -> str:
    day = date(1995, 1, 1) + timedelta(days=i // 10)
    return f"{day};B{i // 80};Spreader;{STAGES[i // 10 % 8]};{5 + i * 7 % 45};6;note {i}\n"
