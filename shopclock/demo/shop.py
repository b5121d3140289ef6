"""The demo shop's two files as values: its products, its pace, its evenings."""

import tomllib
from dataclasses import dataclass, field
from datetime import datetime, time
from typing import Any

from shopclock.places import resource
from shopclock.shop.routes.route_file import load_route
from shopclock.shop.routes.starter_route import StarterRoute


@dataclass(frozen=True, slots=True)
class Habit:
    """Habit of coming in: on these weekdays (Monday is 0), by a chance, for so many hours."""

    weekdays: tuple[int, ...]
    chance: float
    starts: time
    hours: float


@dataclass(frozen=True, slots=True)
class DemoPace:
    """Minutes of a piece at a stage: of the first one, and what is left at each doubling."""

    stage: str
    method: str
    minutes: dict[str, float]
    rate: float = 1.0


@dataclass(frozen=True, slots=True)
class ShopWork:
    """Work that belongs to no piece: the chance of an evening, and minutes."""

    stage: str
    chance: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Mishap:
    """Mishap with pieces at a step of a batch. `at` is the part done by then."""

    what: str
    step: str
    pieces: str = ""
    reason: str = ""
    at: float = 1.0
    cause: str = ""
    minutes: float = 0.0
    back: str = ""


@dataclass(frozen=True, slots=True)
class BatchPlan:
    """A batch: begun so many days before the end. `hold` is a step that it doesn't reach."""

    pattern: str
    pieces: int
    days: int
    bevels: str = "freehand"
    shape: str = "belt"
    first_timed: str = ""
    skip: str = ""
    hold: str = ""
    next_time: str = ""
    mishaps: tuple[Mishap, ...] = ()

    def method(self, stage: str) -> str:
        """Return the method by which this batch is worked at a stage; "" where it has none."""
        return {"Grind bevels": self.bevels, "Shape handle": self.shape, "Sharpen": "stones"}.get(stage, "")


@dataclass(frozen=True, slots=True)
class LastStep:
    """Step done on one of the last days: of the nth batch, with so many pieces (0: all)."""

    days: int
    batch: int
    step: str
    starts: time | None = None
    pieces: int = 0


@dataclass(frozen=True, slots=True)
class DemoShop:
    """All that the demo's files say."""

    name: str
    maker: str
    bench: str
    zone: str
    seed: int
    end: datetime
    batch_spread: float
    piece_spread: float
    routes: dict[str, StarterRoute]
    habits: tuple[Habit, ...]
    holidays: tuple[tuple[str, str], ...]
    shop_work: tuple[ShopWork, ...]
    chances: dict[str, float]
    paces: tuple[DemoPace, ...]
    last_minutes: float
    batches: tuple[BatchPlan, ...] = field(repr=False)
    last: tuple[LastStep, ...]


WEEK = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def demo_shop() -> DemoShop:
    """Return the demo shop as its files have it."""
    said, made = _read("shop.toml"), _read("batches.toml")
    plain = ("name", "maker", "bench", "zone", "seed", "batch_spread", "piece_spread", "chances")
    return DemoShop(
        **{name: said[name] for name in plain},
        end=datetime.fromisoformat(said["end"]),
        routes={key: load_route(resource("demo", "routes", file)) for key, file in said["patterns"].items()},
        habits=tuple(_habit(one) for one in said["evening"]),
        holidays=tuple((one["from"], one["to"]) for one in said["holiday"]),
        shop_work=tuple(ShopWork(**one) for one in said["shop_work"]),
        paces=tuple(DemoPace(**({"method": ""} | one)) for one in said["pace"]),
        last_minutes=made["last_evening"]["minutes"],
        batches=tuple(_batch(one) for one in made["batch"]),
        last=tuple(_last(one) for one in made["last"]),
    )


def _read(name: str) -> dict[str, Any]:
    return tomllib.loads(resource("demo", name).read_text(encoding="utf-8"))


def _habit(table: dict[str, Any]) -> Habit:
    weekdays = tuple(WEEK.index(day) for day in table["weekdays"])
    return Habit(weekdays, table["chance"], time.fromisoformat(table["from"]), table["hours"])


def _batch(table: dict[str, Any]) -> BatchPlan:
    mishaps = tuple(Mishap(**one) for one in table.get("mishap", ()))
    return BatchPlan(**{k: v for k, v in table.items() if k != "mishap"}, mishaps=mishaps)


def _last(table: dict[str, Any]) -> LastStep:
    starts = time.fromisoformat(table["from"]) if "from" in table else None
    return LastStep(table["days"], table["batch"], table["step"], starts, table.get("pieces", 0))
