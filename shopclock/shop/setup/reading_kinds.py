"""The shop's list of what can be measured at each stage: unit, limits, target."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from shopclock.shop.routes.starter_route import ReadingSpec
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Pattern, ReadingKind, Stage
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.measure import Measure, parse, units_like
from shopclock.shop.values.names import good_name

Limit = Literal["low", "target", "high"]
LIMITS: tuple[Limit, ...] = ("low", "target", "high")
LONGEST_UNIT = 12


def copy_kinds(tx: Transaction, stage: Stage, pattern: Pattern, specs: Iterable[ReadingSpec]) -> None:
    """Add what a starter route measures at a stage, for its pattern; a name that is there already stays as it is."""
    there = {kind.name.casefold() for kind in kinds_of(tx.floor, stage) if kind.pattern_id == pattern.id}
    for spec in specs:
        if spec.name.casefold() not in there:
            _add(tx, stage, pattern.id, spec)


def _add(tx: Transaction, stage: Stage, pattern_id: int | None, spec: ReadingSpec) -> ReadingKind:
    return tx.add(
        ReadingKind(
            stage_id=stage.id,
            pattern_id=pattern_id,
            name=spec.name,
            unit=spec.unit,
            low=_plain(spec.low),
            high=_plain(spec.high),
            target=_plain(spec.target),
            common_practice=spec.common_practice,
        )
    )


def _plain(value: float | None) -> str | None:
    """Write a route file's figure as it stands in the file: 0.005, 57."""
    if value is None:
        return None
    said = f"{Decimal(repr(value)):f}"
    return said.removesuffix(".0")


def copy_for(tx: Transaction, old: Pattern, new: Pattern) -> None:
    """Give a pattern what is measured at another one."""
    for kind in [k for k in tx.floor.all(ReadingKind) if k.pattern_id == old.id]:
        tx.add(replace(kind, pattern_id=new.id))


def kinds_of(floor: ShopFloor, stage: Stage) -> tuple[ReadingKind, ...]:
    """Return all that can be measured at a stage, for all patterns first, what is put away last."""
    found = [kind for kind in floor.all(ReadingKind) if kind.stage_id == stage.id]
    return tuple(sorted(found, key=lambda k: (k.put_away, k.pattern_id or 0, k.id)))


def add_kind(tx: Transaction, stage: Stage, name: str, unit: str) -> ReadingKind:
    """Add something that can be measured at a stage, in every pattern, without limits."""
    taken = [kind.name for kind in kinds_of(tx.floor, stage) if kind.pattern_id is None]
    return _add(
        tx, stage, None, ReadingSpec(good_name(name, taken), good_unit(unit), None, None, None, common_practice=False)
    )


def good_unit(typed: str) -> str:
    """Return a unit of the shop's own with single spaces; "" counts. Refused when it has digits or is too long."""
    unit = " ".join(typed.split())
    if len(unit) > LONGEST_UNIT or any(c.isdigit() for c in unit):
        raise Refusal(f"{unit} is no unit: up to {LONGEST_UNIT} letters, no digits. Nothing was changed.")
    return unit


def rename_kind(tx: Transaction, kind: ReadingKind, name: str) -> ReadingKind:
    """Give it another name; what was measured stays with it."""
    beside = (k for k in tx.floor.all(ReadingKind) if k.stage_id == kind.stage_id and k.pattern_id == kind.pattern_id)
    return tx.change(replace(tx.current(kind), name=good_name(name, [k.name for k in beside if k.id != kind.id])))


def set_unit(tx: Transaction, kind: ReadingKind, unit: str) -> ReadingKind:
    """Change the unit: limits are told in the new one, exactly; refused where what was measured can't be."""
    wanted = good_unit(unit)
    limits = _limits(kind)
    if any(limits.values()) and wanted not in units_like(kind.unit):
        raise Refusal(f"Its limits in {kind.unit} can't be told in {wanted}. Nothing was changed; clear them first.")
    for name, value in limits.items():
        if value is not None and wanted != kind.unit:
            limits[name] = Measure(value, kind.unit).to(wanted).text
    return tx.change(_with(replace(tx.current(kind), unit=wanted), limits))


def set_limit(tx: Transaction, kind: ReadingKind, which: Limit, typed: str) -> ReadingKind:
    """Set or clear ("") a limit or the target, as typed; from then on it is the shop's own, no common practice."""
    value = None
    if typed.strip():
        measure = parse(typed, kind.unit)
        value = (measure if measure.unit == kind.unit else measure.to(kind.unit)).text
    now = tx.current(kind)
    changed = tx.change(_with(replace(now, common_practice=False), _limits(now) | {which: value}))
    limits = [m for name in LIMITS if (m := limit(changed, name)) is not None]
    for lower, upper in pairwise(limits):
        if lower.size > upper.size:
            raise Refusal(f"{lower} is above {upper}: low, target and high have to rise. Nothing was changed.")
    return changed


def put_kind_away(tx: Transaction, kind: ReadingKind, *, away: bool) -> ReadingKind:
    """Take it out of what is offered, or bring it back; what was measured stays."""
    return tx.change(replace(tx.current(kind), put_away=away))


def limit(kind: ReadingKind, which: Limit) -> Measure | None:
    """Return a limit or the target, or nothing."""
    value = _limits(kind)[which]
    return Measure(value, kind.unit) if value is not None else None


def _limits(kind: ReadingKind) -> dict[Limit, str | None]:
    return {"low": kind.low, "target": kind.target, "high": kind.high}


def _with(kind: ReadingKind, limits: dict[Limit, str | None]) -> ReadingKind:
    return replace(kind, low=limits["low"], target=limits["target"], high=limits["high"])


def limits_said(kind: ReadingKind) -> str:
    """Say the limits: 57 to 62 HRC; from 57 HRC; up to 0.010 in; nothing where there are none."""
    low, high = limit(kind, "low"), limit(kind, "high")
    if low is not None and high is not None:
        return f"{low.shown} to {high}"
    return f"from {low}" if low is not None else f"up to {high}" if high is not None else ""


def wanted_said(kind: ReadingKind) -> str:
    """Say limits and target: 57 to 62 HRC, target 60 HRC; nothing where there is neither."""
    target = limit(kind, "target")
    return ", ".join(part for part in (limits_said(kind), f"target {target}" if target is not None else "") if part)
