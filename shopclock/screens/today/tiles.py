"""Texts of Today's tiles."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from shopclock.screens.bench.texts import DOT, batch_text, each_text, letters_text, route_us, usual_text
from shopclock.screens.today.state import SpoilBand, TodayVerb
from shopclock.shop.state.wording import (
    MINUTE_US,
    counted,
    day_text,
    ended_text,
    length_text,
    shop_time,
    when_text,
    zone_of,
)
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work.loads import blocked_text, room_text
from shopclock.views.button import Button, Press

if TYPE_CHECKING:
    from collections.abc import Sequence
    from zoneinfo import ZoneInfo

    from shopclock.shop.figures.trend_rows import Usual
    from shopclock.shop.planning.ready_work import ReadyWork
    from shopclock.shop.planning.today import Cooking, FittingWork, Spoils, Waiting
    from shopclock.shop.state.shop_floor import ShopFloor

HALF_A_DAY_MIN = 240


def have_text(minutes: int) -> str:
    """Say the time there is, within a sentence: 40 minutes, half a day, 1 h 50."""
    if minutes == HALF_A_DAY_MIN:
        return "half a day"
    return f"{minutes} minutes" if minutes <= 90 else length_text(minutes * MINUTE_US)


def band(floor: ShopFloor, spoils: Spoils, now_us: int, out: Sequence[str] = ()) -> SpoilBand:
    """Band of what spoils: who needs what by when, and how long that is; `out` says who comes out of what for it."""
    who, until = letters_text(floor, spoils.pieces), when_text(spoils.until_us, now_us, zone_of(floor))
    left = spoils.until_us - now_us
    late = left < 0
    parts = [
        batch_text(floor, spoils.batch),
        f"{spoils.first.name} {when_text(spoils.since_us, now_us, zone_of(floor))}",
        f"{length_text(-left)} over" if late else f"{length_text(left)} left",
        room_text(floor, spoils.then, spoils.blocked, now_us),
    ]
    goes = f"Load {len(spoils.takes)} in: {letters_text(floor, spoils.takes)}" if spoils.takes else "all the same"
    fewer = len(spoils.takes) < len(spoils.pieces)
    key = Press(TodayVerb.SPOILS, spoils.then.id)
    button = Button(spoils.then.name, DOT.join([*([goes] if fewer else []), *out]), role="ink", key=key)
    title = f"{who}: {spoils.then.name} {'was due' if late else 'by'} {until}"
    return SpoilBand(title, DOT.join(part for part in parts if part), button)


def fit_tile(
    floor: ShopFloor, fit: FittingWork, have_us: int, usually: Usual | None, out: Sequence[str] = ()
) -> Button:
    """Work that fits: how many pieces, and how much of the time it takes; `out` says who comes out of what for it."""
    work = fit.work
    count = counted(floor, "piece", len(work.pieces))
    said = usual_text(usually, route_us(floor, work.step))
    parts = [batch_text(floor, work.batch), count if fit.whole else f"{fit.n} of {count}", *_held_back(work), *out]
    if work.step.kind.attended:
        parts += [f"{said} {each_text(floor)}"] if said and not work.about else []
    elif work.step.wait_us:
        parts.append(length_text(work.step.wait_us))
    return Button(
        work.step.name,
        DOT.join(parts),
        figure=_figure(work, fit.need_us),
        aside=_then(work),
        figure_role="green",
        fraction=fit.need_us / have_us if fit.need_us else None,
        tile=True,
        key=Press(TodayVerb.START, work.step.id),
    )


def _held_back(work: ReadyWork) -> tuple[str, ...]:
    """Say how many more are ready and have no room in the tool."""
    return (f"{len(work.blocked.pieces)} wait for {work.blocked.tool.name}",) if work.blocked is not None else ()


def waiting_tile(floor: ShopFloor, waiting: Waiting, now_us: int) -> Button:
    """Tile of what is ready and waits for its tool, and until when."""
    pieces = waiting.blocked.pieces
    who = f"{counted(floor, 'piece', len(pieces))}, {letters_text(floor, pieces)}"
    title, note = f"{waiting.step.name}, {waiting.batch.name}", blocked_text(floor, waiting.blocked, now_us)
    return Button(title, f"{who}  ·  wait for it", note=note, tile=True, key=Press(TodayVerb.BENCH, waiting.batch.id))


def _figure(work: ReadyWork, need_us: int) -> str:
    if not need_us and not work.step.kind.attended:
        return "sent out" if work.step.kind is Kind.AWAY else "by itself"
    return f"{'about ' if work.about else ''}{whole_minutes(need_us)}"


def whole_minutes(length_us: int) -> str:
    """Say a length in minutes that have to be there: 27.2 min are 28."""
    return length_text(ceil(length_us / MINUTE_US) * MINUTE_US)


def _then(work: ReadyWork) -> str:
    return f"then {work.opens.name}" if work.opens is not None and work.opens.id != work.step.id else ""


def longer_tile(floor: ShopFloor, work: ReadyWork, have_us: int, out: Sequence[str] = ()) -> Button:
    """Work that takes longer, how many of its pieces fit, or that nobody knows how long; `out` as above."""
    need, count, n = work.whole_us, counted(floor, "piece", len(work.pieces)), work.part(have_us)
    fitting = f"{n} of {count} in {length_text(have_us)}" if n else count
    rest = "can be taken up again" if need is not None else "minutes not known yet"
    return Button(
        work.step.name,
        DOT.join([batch_text(floor, work.batch), fitting, *out, rest]),
        figure=_figure(work, need) if need is not None else "",
        aside=_then(work),
        figure_role="straw",
        tile=True,
        key=Press(TodayVerb.START, work.step.id),
    )


def cooking_tile(floor: ShopFloor, cooking: Cooking, now_us: int) -> Button:
    """Tile of what cooks: who is in it and until when, or since when it is ready."""
    note, role = _until(floor, cooking, now_us)
    who = f"{counted(floor, 'piece', len(cooking.pieces))}, {letters_text(floor, cooking.pieces)}"
    away = cooking.step.kind is Kind.AWAY
    since = f"since {day_text(shop_time(cooking.since_us, zone_of(floor)).date())}" if away else ""
    detail = DOT.join(part for part in (who, since) if part)
    title = f"{cooking.step.name}, {cooking.batch.name}"
    return Button(title, detail, note=note, note_role=role, tile=True, key=Press(TodayVerb.BENCH, cooking.batch.id))


def _until(floor: ShopFloor, cooking: Cooking, now_us: int) -> tuple[str, str]:
    zone, at = zone_of(floor), cooking.ready_us
    if cooking.step.kind is Kind.AWAY:
        return _back(at, zone, over=cooking.over), "straw"
    if at is None:
        return f"since {when_text(cooking.since_us, now_us, zone)}", "straw"
    if cooking.over:
        return ended_text(at, now_us, zone), "green"
    return f"until {when_text(at, now_us, zone)}", "straw"


def _back(at_us: int | None, zone: ZoneInfo, *, over: bool) -> str:
    """Say when what was sent out comes back, as far as anybody knows."""
    if at_us is None:
        return "sent out"
    day = day_text(shop_time(at_us, zone).date())
    return f"due back since {day}" if over else f"back about {day}"
