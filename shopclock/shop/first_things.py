"""What a new shop begins with: one maker, one bench, reasons, shop work, its words."""

from shopclock.shop.kinds import Kind
from shopclock.shop.turn import Turn
from shopclock.shop.values import Bench, Maker, Reason, Shop, Stage, Word

REASONS = ("dropped", "cracked", "warped", "too thin", "wrong hole", "soft", "other")
SHOP_WORK = ("Sweeping", "Upkeep", "Post")
WORDS = (
    ("piece", "blade", "blades"),
    ("finished", "knife", "knives"),
    ("batch", "batch", "batches"),
    ("stage", "stage", "stages"),
    ("load", "load", "loads"),
)


def first_things(turn: Turn, zone: str) -> None:
    """Fill an empty record."""
    turn.new(Shop, name="", zone=zone, made_us=turn.now_us)
    turn.new(Maker, name="")
    turn.new(Bench, name="")
    for position, reason in enumerate(REASONS):
        turn.new(Reason, name=reason, position=position, put_away=False)
    for name in SHOP_WORK:
        turn.new(
            Stage,
            name=name,
            kind=Kind.HANDS_ON,
            one_by_one=False,
            shop_work=True,
            caution="",
            put_away=False,
        )
    for name, one, many in WORDS:
        turn.new(Word, name=name, one=one, many=many)
