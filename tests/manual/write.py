"""The chapters that are made of the program's own tables: .venv/bin/python -m tests.manual.write."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shopclock.exchange.workbook.cost_sheet import costs_in
from shopclock.exchange.workbook.sheets import BATCHES, INTERVALS, PIECES, READINGS, STAGES
from shopclock.places import resource
from shopclock.shop.state.settings import SPECS

if TYPE_CHECKING:
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
    intro = "The few things that can be set, and what they are when nothing was set."
    return "\n\n".join(("# Settings", intro, *map(_setting, SPECS))) + "\n"


def _setting(spec: Spec[Any]) -> str:
    choices = ", ".join(str(choice) for choice in spec.choices)
    return f"**{spec.name}**: {spec.help} One of {choices}; {spec.default} when nothing was set."


WRITTEN = {"columns": columns, "settings": settings}

if __name__ == "__main__":
    for name, text in WRITTEN.items():
        resource("manual", f"{name}.md").write_text(text(), encoding="utf-8")
