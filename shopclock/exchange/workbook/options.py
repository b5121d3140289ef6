"""Options of writing the record to a file."""

from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from shopclock.shop.values.errors import ShopError
from shopclock.shop.work.day import day_span

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}
DECIMALS = {"point": ".", "comma": ","}


def separator_for(decimal: str) -> str:
    """Return the name of the separator that goes with a decimal sign when none is asked for."""
    return "semicolon" if decimal == "comma" else "comma"


def typed_day(text: str) -> date:
    """Return the day that a text such as 2026-03-07 names (ISO 8601); ShopError where it names none."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError as error:
        raise ShopError(
            f"{text.strip() or 'Nothing'} is no day. Type it as 2026-03-07. Nothing was written."
        ) from error


def span_of(first: date | None, last: date | None, zone: ZoneInfo, now_us: int) -> tuple[int, int] | None:
    """Return the instants from the beginning of the first day until the last one is over, by the shop's clock.

    Without a first day from the beginning of the record, without a last one until now; without both no span.
    """
    if first is None and last is None:
        return None
    if first is not None and last is not None and last < first:
        raise ShopError(f"{last} lies before {first}. Nothing was written. Name the first day first.")
    since = day_span(first, zone)[0] if first is not None else 0
    return since, day_span(last, zone)[1] if last is not None else max(now_us, since) + 1


@dataclass(frozen=True, slots=True, kw_only=True)
class ExportOptions:
    """Options of an export: what to write and how.

    `now_us` is the instant until which running work counts. `batch_ids` are the batches to write; without, the whole
    shop with its shop work. `span` are two instants: the intervals that began from the first until before the second,
    and whole the batches that they were part of. `separator` and `decimal` are for CSV.
    """

    now_us: int
    batch_ids: frozenset[int] | None = None
    span: tuple[int, int] | None = None
    separator: str = ","
    decimal: str = "."

    def wants_from(self, batch_id: int | None, start_us: int) -> bool:
        """Tell whether an interval that began at an instant belongs into the file."""
        begun = self.span is None or self.span[0] <= start_us < self.span[1]
        return begun and self.wants(batch_id)

    def wants(self, batch_id: int | None) -> bool:
        """Tell whether a batch, or shop work (None), belongs into the file."""
        return self.batch_ids is None or batch_id in self.batch_ids
