"""Money: exact decimals from what was typed to what is shown, rounded once, then, by the rules of a place."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.habits import marked

MOST = Decimal(10_000_000)
_NO_PLACES = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
_THREE_PLACES = "BHD IQD JOD KWD LYD OMR TND"
PLACES = dict.fromkeys(_NO_PLACES.split(), 0) | dict.fromkeys(_THREE_PLACES.split(), 3)
"""Digits after the decimal point by currency code (ISO 4217); all others have two."""
_PLAIN = re.compile(r"\d{1,8}([.,]\d{1,4})?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Manner:
    """Manner in which a place writes money: its decimal mark, what stands between thousands, the sign before or after.

    `pairs`: from the thousands on, digits stand two by two, as in India.
    """

    decimal: str = "."
    group: str = ","
    before: bool = True
    pairs: bool = False


def amount(typed: str) -> Decimal:
    """Return a typed amount: 240, 240.50 or 240,50. Refused where it is none, below 0 or above ten million."""
    text = typed.strip().replace("\u00a0", "").replace(" ", "")
    if not _PLAIN.fullmatch(text) or (found := Decimal(text.replace(",", "."))) > MOST:
        raise Refusal(f"{_said(typed)} is no amount of money, such as 240 or {marked('12.50')}. Nothing was changed.")
    return found


def percent(typed: str) -> Decimal:
    """Return a typed percentage from 0 to below 100; refused where it is none."""
    text = typed.strip().removesuffix("%").strip()
    if not _PLAIN.fullmatch(text) or (found := Decimal(text.replace(",", "."))) >= 100:
        raise Refusal(f"{_said(typed)} is no share from 0 to below 100 %. Nothing was changed.")
    return found


def share(typed: str) -> Decimal:
    """Return a typed share of something in percent, all of it too; refused where it is none."""
    return Decimal(100) if typed.strip().removesuffix("%").strip() == "100" else percent(typed)


def _said(typed: str) -> str:
    """Return what was typed as a refusal quotes it, by the decimal mark of the place."""
    return marked(typed.strip()) or "Nothing"


def currency_code(typed: str) -> str:
    """Return the three letters of a currency; refused where it isn't three letters."""
    code = typed.strip().upper()
    if not re.fullmatch("[A-Z]{3}", code):
        raise Refusal(f"{typed.strip() or 'Nothing'} is no currency: three letters, such as EUR. Nothing was changed.")
    return code


def places(currency: str) -> int:
    """Return the digits that a currency has after its decimal point."""
    return PLACES.get(currency, 2)


def rounded(value: Decimal, currency: str) -> Decimal:
    """Round an amount to the smallest coin of its currency, halves away from zero. Only for showing."""
    return value.quantize(Decimal(1).scaleb(-places(currency)), ROUND_HALF_UP)


def money_text(value: Decimal, currency: str, manner: Manner | None = None) -> str:
    """Say an amount as it is written in a place: EUR 1,234.50; 1.234,50 EUR.

    The letters of a currency are kept from its digits by a space that doesn't break (UTS 35, currency spacing).
    """
    manner, exact = manner or Manner(), rounded(value, currency)
    whole, _, rest = f"{abs(exact)}".partition(".")
    number = _grouped(whole, manner) + (manner.decimal + rest if rest else "")
    told = f"{currency}\u00a0{number}" if manner.before else f"{number}\u00a0{currency}"
    return f"−{told}" if exact < 0 else told


def _grouped(digits: str, manner: Manner) -> str:
    """Put the mark of a place between groups of digits: the last three, then by three or by two."""
    head, groups, size = digits[:-3], [digits[-3:]], 2 if manner.pairs else 3
    while head:
        head, last = head[:-size], head[-size:]
        groups.insert(0, last)
    return manner.group.join(groups)
