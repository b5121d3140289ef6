"""Text that stays text: no name becomes a formula in somebody's spreadsheet, none breaks a file.

A field that begins with = + - @, a tab or a return is run as a formula by spreadsheets that open a CSV file; the usual
remedy is an apostrophe before it (OWASP, "CSV Injection"; CWE-1236). XML 1.0 (section 2.2) has no place at all for
control characters other than tab and line ends, for lone surrogates and for U+FFFE and U+FFFF.
"""

import re
from functools import lru_cache

_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")
_RUNS = tuple("=+-@\t\r\n") + tuple("\uff1d\uff0b\uff0d\uff20\u2212")  # the wide signs and the minus sign as well
_PLAIN = re.compile("[0-9A-Za-z][ -~]{0,200}")
"""Most names, and all keys: nothing in them has to be looked at twice."""
LONGEST = 32_767
"""The most characters (UTF-16 units) that a cell of a workbook takes."""


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """Return text without what no file can hold; line ends become one kind, an overlong text is cut."""
    kept = _NOT_IN_XML.sub("", text.replace("\r\n", "\n"))
    if len(kept) * 2 <= LONGEST:
        return kept
    units = kept.encode("utf-16-le")
    if len(units) <= 2 * LONGEST:
        return kept
    return units[: 2 * (LONGEST - 1)].decode("utf-16-le", "ignore") + "…"


def risky(text: str) -> bool:
    """Tell whether a spreadsheet could take a text for a formula, spaces before it or not."""
    return text.startswith(_RUNS) or text.lstrip().startswith(_RUNS)


@lru_cache(maxsize=4096)
def csv_text(text: str) -> str:
    """Return text as a field of a CSV file: what could be taken for a formula gets an apostrophe before it."""
    kept = clean(text)
    return f"'{kept}" if risky(text) or risky(kept) else kept


def cell_text(text: str) -> str:
    """Return text for a cell of a workbook, where it is a string by type.

    XlsxWriter takes what looks like its own rich text (<r>…</r>) for markup: a space at the end keeps it text.
    """
    kept = clean(text)
    return f"{kept} " if kept.startswith("<r>") and kept.endswith("</r>") else kept


@lru_cache(maxsize=4096)
def text_cell(text: str) -> tuple[str, bool]:
    """Return text for a cell of a workbook, and whether it could be taken for a formula once it is typed anew."""
    return (text, False) if _PLAIN.fullmatch(text) else (cell_text(text), risky(text))
