"""Data that a copy may leave out for somebody else's eyes: customers, prices, costs and rates, and what tells of them.

The lines of the journal that made them are left out, too, and presses that touched them lose their names. Notes that
were typed are not read: whoever gives such a copy away looks through them.
"""

from shopclock.record.file.schema import table_name
from shopclock.shop.setup.the_shop import ADDRESS
from shopclock.shop.values.entities import AskedPrice, CalendarEvent, CostItem, CustomerOrder, OrderPiece, Quote

TABLES_LEFT_OUT = tuple(
    table_name(kind) for kind in (CustomerOrder, OrderPiece, Quote, CalendarEvent, CostItem, AskedPrice)
)
NAMELESS = "left out"
_THINGS = ", ".join(f"'{name}'" for name in TABLES_LEFT_OUT)
_OF_MONEY = f"(name LIKE 'rate %' OR name = '{ADDRESS}')"
_LINE = (
    f"(thing IN ({_THINGS}) OR (thing = 'setting' AND (json_extract(coalesce(after, before), '$.name') LIKE 'rate %' "
    f"OR json_extract(coalesce(after, before), '$.name') = '{ADDRESS}')))"
)

_LAST_SETTING = f"(SELECT max(number) FROM journal WHERE thing = 'setting' AND NOT {_LINE})"  # noqa: S608  # as above

_LAST_LINE = f"(SELECT max(id) FROM journal WHERE NOT {_LINE})"  # noqa: S608  # as above


def kept(table: str) -> str:
    """Return the condition, in SQL, by which a row of a table is kept."""
    if table in TABLES_LEFT_OUT:
        return "0"
    conditions = {
        "setting": f"NOT {_OF_MONEY}",
        "journal": f"NOT {_LINE}",
        "corrected": f"thing NOT IN ({_THINGS}, 'setting')",
        "sqlite_sequence": f"name NOT IN ({_THINGS}) AND (name <> 'setting' OR {_LAST_SETTING} IS NOT NULL)",
    }
    return conditions.get(table, "1")


def column(table: str, name: str) -> str:
    """Return what of a row is written in a column, in SQL: a press that touched what is left out has no name."""
    if (table, name) == ("sqlite_sequence", "seq"):  # the numbers that the journal which is kept has given
        return f"CASE name WHEN 'setting' THEN {_LAST_SETTING} WHEN 'journal' THEN {_LAST_LINE} ELSE seq END"
    if (table, name) != ("press", "what"):
        return name
    touched = f"id IN (SELECT press_id FROM journal WHERE {_LINE})"  # noqa: S608  # the names are ours
    return f"CASE WHEN {touched} THEN '{NAMELESS}' ELSE what END"
