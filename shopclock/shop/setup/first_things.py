"""What a new shop begins with: one maker, one bench, reasons, shop work, its words."""

from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Bench, Maker, Reason, Shop, Stage, Word
from shopclock.shop.values.kinds import Kind

REASONS = ("dropped", "cracked", "warped", "too thin", "wrong hole", "soft", "other")
SHOP_WORK = ("Sweeping", "Upkeep", "Post")
WORDS = (
    ("piece", "blade", "blades"),
    ("finished", "knife", "knives"),
    ("batch", "batch", "batches"),
    ("stage", "stage", "stages"),
    ("load", "load", "loads"),
)


def first_things(tx: Transaction, zone: str) -> None:
    """Fill an empty record."""
    tx.new(Shop, name="", zone=zone, made_us=tx.now_us)
    tx.new(Maker, name="")
    tx.new(Bench, name="")
    for position, reason in enumerate(REASONS):
        tx.new(Reason, name=reason, position=position, put_away=False)
    for name in SHOP_WORK:
        tx.new(
            Stage,
            name=name,
            kind=Kind.HANDS_ON,
            one_by_one=False,
            shop_work=True,
            caution="",
            put_away=False,
        )
    for name, one, many in WORDS:
        tx.new(Word, name=name, one=one, many=many)
