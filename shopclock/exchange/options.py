"""What can be chosen when the record is written to a file."""

from dataclasses import dataclass

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}
DECIMALS = {"point": ".", "comma": ","}


def separator_for(decimal: str) -> str:
    """Return the name of the separator that goes with a decimal sign when none is asked for."""
    return "semicolon" if decimal == "comma" else "comma"


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What to write and how.

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
