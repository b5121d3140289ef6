"""First things of a new shop: one maker, one bench, reasons, words for notes, shop work, its words."""

from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Bench, Maker, NoteWord, Reason, Shop, Stage, Word
from shopclock.shop.values.kinds import Kind

REASONS = ("dropped", "cracked", "warped", "too thin", "wrong hole", "soft", "other")
NOTE_WORDS = ("worn belt", "fresh belt", "interrupted", "trial", "hard to hold")
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
    tx.add(Shop(name="", zone=zone, made_us=tx.now_us))
    tx.add(Maker(name=""))
    tx.add(Bench(name=""))
    for position, reason in enumerate(REASONS):
        tx.add(Reason(name=reason, position=position))
    for position, word in enumerate(NOTE_WORDS):
        tx.add(NoteWord(name=word, position=position))
    for name in SHOP_WORK:
        tx.add(Stage(name=name, kind=Kind.HANDS_ON, shop_work=True))
    for name, one, many in WORDS:
        tx.add(Word(name=name, one=one, many=many))
