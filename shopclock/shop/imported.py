"""What came out of old notes: the file, and for each stretch the row that it was made of."""

from dataclasses import dataclass

from shopclock.shop.thing import Thing


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportFile(Thing):
    """A file of old notes that was brought in; `sha256` is what its bytes are known by."""

    name: str
    sha256: str
    at_us: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportRow(Thing):
    """The row of a file that a stretch was made of.

    `known_by` is what the row's own text is known by, so that a longer copy of the file adds only what is new.
    """

    import_file_id: int
    interval_id: int
    row: int
    known_by: str
    note: str
