"""Answers of the commands: the same values as text and as JSON."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Pattern

FORMAT = 1
"""The version of the keys. They stay as they are once released; new ones may be added."""

json_option: Callable[[Callable[..., Any]], Callable[..., Any]] = click.option(
    "--json", "as_json", is_flag=True, help="As JSON for scripts."
)


def plain(value: object) -> object:
    """Return a value as JSON has it: dataclasses as objects, days as ISO 8601, exact decimals as texts."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, dict):
        return {str(plain(key)): plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value.value if isinstance(value, Enum) else value


def tell(as_json: bool, lines: Iterable[str], **values: object) -> None:
    """Say an answer: its lines, or its values as JSON."""
    if as_json:
        click.echo(json.dumps({"format": FORMAT, **{name: plain(one) for name, one in values.items()}}, indent=2))
        return
    for line in lines:
        click.echo(line.replace("\N{NO-BREAK SPACE}", " "))


def pattern_of(floor: ShopFloor, name: str) -> Pattern:
    """Return the pattern of a name, or the only one that begins so."""
    from shopclock.exchange.names import named
    from shopclock.shop.values.entities import Pattern

    return named([one for one in floor.all(Pattern) if not one.put_away], name, lambda one: one.name, "pattern")
