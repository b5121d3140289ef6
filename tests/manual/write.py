"""The chapters that are made of the program's own tables: .venv/bin/python -m tests.manual.write."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from shopclock.commands.answer_keys import ANSWERS
from shopclock.exchange.api import FRAMES, Holds
from shopclock.exchange.api_results import Forecast, NextPieces, StageHours, Trend
from shopclock.exchange.workbook.cost_sheet import costs_in
from shopclock.exchange.workbook.sheets import BATCHES, INTERVALS, PIECES, READINGS, STAGES
from shopclock.places import resource
from shopclock.record.file.views import VIEWS
from shopclock.shop.state.settings import SPECS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shopclock.commands.answer_keys import JsonKey
    from shopclock.exchange.workbook.cells import Sheet
    from shopclock.shop.state.settings import Spec

SHEETS: tuple[Sheet[Any], ...] = (INTERVALS, BATCHES, STAGES, costs_in("currency"), PIECES, READINGS)


def columns() -> str:
    """The chapter of the spreadsheet's columns."""
    parts = ["# Columns of the spreadsheet", "What stands in each column, sheet by sheet."]
    for sheet in SHEETS:
        parts += [f"## {sheet.name}", "\n".join(f"- **{column.head}**: {column.tells}" for column in sheet.columns)]
    return "\n\n".join(parts) + "\n"


def settings() -> str:
    """The chapter of the settings."""
    intro = "The few things that can be set, and what they are when nothing was set: common practice, no source."
    return "\n\n".join(("# Settings", intro, *map(_setting, SPECS))) + "\n"


def _setting(spec: Spec[Any]) -> str:
    choices = ", ".join(str(choice) for choice in spec.choices)
    return f"**{spec.name}**: {spec.help} One of {choices}; {spec.default} when nothing was set."


KINDS = {
    Holds.TEXT: "text",
    Holds.FLAG: "True or False",
    Holds.COUNT: "whole number",
    Holds.NUMBER: "number",
    Holds.MONEY: "Decimal",
    Holds.INSTANT: "instant, UTC",
    Holds.LENGTH: "length of time",
}


def scripts() -> str:
    """The chapter of what scripts and notebooks read; its example is run by a test."""
    parts = [SCRIPTS.strip()]
    for call, results in RESULTS.items():
        lines = (
            f"- **{result.__name__}** ({', '.join(f.name for f in fields(result))}): {_told(result)}"
            for result in results
        )
        parts += [f"## shop.{call}", "\n".join(lines)]
    for name, columns_of in FRAMES.items():
        lines = (f"- **{column.name}** ({KINDS[column.holds]}): {column.tells}" for column in columns_of)
        parts += [f"## shop.{name}()", "\n".join(lines)]
    return "\n\n".join(parts) + "\n"


RESULTS: dict[str, tuple[type, ...]] = {
    "trend(stage)": (Trend, NextPieces),
    "forecast(pattern, wanted, methods={})": (Forecast, StageHours),
}
"""What the calls return that are no frames; `trend` a tuple of it."""


def _told(result: type) -> str:
    return " ".join((result.__doc__ or "").replace("`", "").split())


SCRIPTS = """# Scripts

The record in Python, for who wants to ask it something else.

Where Shopclock is installed, a script or a notebook opens a record for reading, also while its window is open, and gets
tables of pandas. Nothing here ever writes to the record.

```python
import shopclock

with shopclock.open("demo.shopclock") as shop:
    stages = shop.stages()

bevels = stages[(stages.stage == "Grind bevels") & ~stages.so_far & (stages.pattern == "Cook's 180")]
print(bevels[["batch", "passed", "passed_run_min"]].round(1).to_string(index=False))

with shopclock.open("demo.shopclock") as shop:
    print(shop.trend("bevels")[0])
    print(shop.forecast("Paring 95", 6).blanks)
```

In the demo shop, every figure of which is invented, this prints:

```text
batch  passed  passed_run_min
24-03       5            27.2
25-04       6            28.5
25-07       4            27.9
25-11       5            24.6
26-02       7            23.2
26-05       6            24.1
26-08       6            23.4
Grind bevels, freehand: getting faster; each time the count doubles -11 % minutes (-15 to -8 %), from 10 batches
Shares(even=6, likely=7, surer=8)
```

Instants are in UTC; `shop.zone` is the shop's own zone: `shop.intervals().start.dt.tz_convert(shop.zone)`. Lengths
add up to the microsecond; what ends in `_min` is a quotient in minutes. What isn't there is NaT, NaN or an empty text.
Work that runs counts until the last press. The names below stay as they are within a major version; new ones may come.
"""


def database() -> str:
    """The chapter of the record's views."""
    parts = [DATABASE.strip()]
    for view in VIEWS:
        lines = "\n".join(f"- **{column.name}**: {column.tells}" for column in view.columns)
        parts.append(f"## {view.name}\n\n{view.tells}\n\n{lines}")
    return "\n\n".join(parts) + "\n"


DATABASE = """# Database

The record read with other tools.

The record is one SQLite file. Whatever reads SQLite can read it, also while the window is open; open it for reading
only, because a change from outside is told as damage. Four views are made for that: names instead of numbers, instants
in UTC as 2026-03-07T19:10:00.000000Z, lengths in decimal minutes. They hold nothing of their own: each figure is worked
out from the tables when it is read.
"""


def json_keys() -> str:
    """The chapter of what the commands answer as JSON."""
    parts = [JSON.strip()]
    for name, keys in ANSWERS.items():
        if name in PRESSES and name != PRESSES[0]:
            continue
        title = ", ".join(PRESSES) if name in PRESSES else name
        parts += [f"## shopclock {title}", "\n".join(_key_lines(keys, 0))]
    return "\n\n".join(parts) + "\n"


PRESSES = ("start", "next", "done", "stop", "undo")


def _key_lines(keys: tuple[JsonKey, ...], depth: int) -> Iterator[str]:
    for key in keys:
        yield f"{'  ' * depth}- **{key.name}**: {key.tells}"
        yield from _key_lines(key.keys, depth + 1)


JSON = """# JSON

What the commands answer to scripts, key by key.

With `--json` a command answers with one object; `shopclock export FILE.json` writes one, and `shopclock export -
--as json` says it to whatever reads it. Each begins with **format**, the version of its keys: 1. They stay as they
are within a major version; new ones may come. Instants are ISO 8601, in UTC where they end in Z; minutes are
decimal. `shopclock schema COMMAND` prints the JSON Schema of an answer.
"""

WRITTEN = {"columns": columns, "database": database, "json": json_keys, "scripts": scripts, "settings": settings}

if __name__ == "__main__":
    for name, text in WRITTEN.items():
        resource("manual", f"{name}.md").write_text(text(), encoding="utf-8")
