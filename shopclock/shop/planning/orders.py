"""Orders: who wants how many of what, for when; which pieces go to whom, and which are still unpromised.

A piece that goes to an order is reserved: a letter is its. What an order still lacks counts against the pieces that go
to nobody, the earliest promise first, so that nothing is promised twice.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from shopclock.shop.setup.rates import rates
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import Batch, CustomerOrder, OrderPiece, OrderState, Pattern, Piece
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.money import amount
from shopclock.shop.values.names import good_name

MOST_WANTED = 200


def take_order(tx: Transaction, who: str, pattern: Pattern, wanted: int, promised: date | None = None) -> CustomerOrder:
    """Note an order, in the shop's currency, without a price yet. Refused where the day it is for has gone by."""
    _may_be_wanted(wanted)
    _lies_ahead(tx, promised)
    return tx.add(
        CustomerOrder(
            who=good_name(who),
            pattern_id=pattern.id,
            wanted=wanted,
            promised=promised.isoformat() if promised is not None else None,
            currency=rates(tx.floor).currency,
        )
    )


def reserve(tx: Transaction, order: CustomerOrder) -> tuple[Piece, ...]:
    """Give an order the pieces that it lacks, those that a promise reckons with; fewer where there are no more."""
    found = reservable(tx.floor, order, missing(tx.floor, order))
    for piece in found:
        tie(tx, order, piece)
    return found


def _may_be_wanted(wanted: int) -> None:
    if not 1 <= wanted <= MOST_WANTED:
        raise Refusal(f"An order is for 1 to {MOST_WANTED}. Nothing was changed.")


def _lies_ahead(tx: Transaction, day: date | None) -> None:
    if day is not None and day < shop_time(tx.now_us, zone_of(tx.floor)).date():
        raise Refusal(f"{day.isoformat()} has gone by. Nothing was promised; choose a day from today on.")


def set_wanted(tx: Transaction, order: CustomerOrder, wanted: int) -> CustomerOrder:
    """Say how many an order is for; not fewer than the pieces that are tied to it."""
    _may_be_wanted(wanted)
    tied = len(pieces_of(tx.floor, order))
    if wanted < tied:
        raise Refusal(f"{tied} are tied to {order.who}. Untie some first; nothing was changed.")
    return tx.change(replace(tx.current(order), wanted=wanted))


def promise(tx: Transaction, order: CustomerOrder, day: date | None) -> CustomerOrder:
    """Promise an order for a day, or for none; refused where that day has gone by."""
    _lies_ahead(tx, day)
    return tx.change(replace(tx.current(order), promised=day.isoformat() if day is not None else None))


def set_price(tx: Transaction, order: CustomerOrder, typed: str) -> CustomerOrder:
    """Keep the price of each piece, without tax; "" for none. Its currency becomes the shop's of now."""
    price = str(amount(typed)) if typed.strip() else None
    return tx.change(replace(tx.current(order), price=price, currency=rates(tx.floor).currency))


def set_deposit(tx: Transaction, order: CustomerOrder, typed: str) -> CustomerOrder:
    """Keep what was paid down for all of an order; "" for none."""
    return tx.change(replace(tx.current(order), deposit=str(amount(typed)) if typed.strip() else None))


def set_note(tx: Transaction, order: CustomerOrder, note: str) -> CustomerOrder:
    """Keep a line about an order."""
    return tx.change(replace(tx.current(order), note=" ".join(note.split())))


def end_order(tx: Transaction, order: CustomerOrder, state: OrderState) -> CustomerOrder:
    """Mark an order done, cancelled or open again. Cancelled, its pieces are free for somebody else."""
    if state is OrderState.CANCELLED:
        for tie in _ties(tx.floor, order):
            tx.drop(tie)
    return tx.change(replace(tx.current(order), state=state))


def reopen(tx: Transaction, order: CustomerOrder) -> CustomerOrder:
    """Open an order again that was handed over or cancelled; a day that has gone by is no longer promised."""
    today = shop_time(tx.now_us, zone_of(tx.floor)).date().isoformat()
    still = order.promised if order.promised is not None and order.promised >= today else None
    return tx.change(replace(tx.current(order), state=OrderState.OPEN, promised=still))


def ended_orders(floor: ShopFloor) -> tuple[CustomerOrder, ...]:
    """Return the orders that are no longer open, the newest first."""
    found = [order for order in floor.all(CustomerOrder) if order.state is not OrderState.OPEN]
    return tuple(sorted(found, key=lambda order: -order.id))


def tie(tx: Transaction, order: CustomerOrder, piece: Piece) -> OrderPiece:
    """Say that a piece goes to an order. Refused: another pattern, one that was lost, one promised elsewhere."""
    floor, batch = tx.floor, tx.floor.get(Batch, piece.batch_id)
    called = f"{piece.mark} of {batch.name}"
    if order.state is not OrderState.OPEN:
        raise Refusal(f"The order of {order.who} is {order.state}. Nothing was changed.")
    if batch.pattern_id != order.pattern_id:
        wanted = floor.get(Pattern, order.pattern_id).name
        raise Refusal(f"{called} is no {wanted}, as {order.who} wants. Nothing was changed.")
    if not can_be_sold(piece):
        raise Refusal(f"{called} was {piece.outcome}. Nothing was changed.")
    other = order_of_piece(floor, piece)
    if other is not None:
        raise Refusal(f"{called} goes to {other.who} already. Nothing was changed.")
    if len(pieces_of(floor, order)) >= order.wanted:
        raise Refusal(f"{order.who} has all {order.wanted}. Nothing was changed.")
    return tx.add(OrderPiece(order_id=order.id, piece_id=piece.id))


def untie(tx: Transaction, piece: Piece) -> None:
    """Let a piece go to nobody."""
    for found in [t for t in tx.floor.all(OrderPiece) if t.piece_id == piece.id]:
        tx.drop(found)


def instead(tx: Transaction, order: CustomerOrder, lost: Piece, other: Piece | None) -> None:
    """Give an order another piece instead of one of its own; with none it lacks one more."""
    untie(tx, lost)
    if other is not None:
        tie(tx, order, other)


def can_be_sold(piece: Piece) -> bool:
    """Tell whether a piece is, or can still become, a finished one."""
    return piece.outcome is None or piece.outcome.finished


def _ties(floor: ShopFloor, order: CustomerOrder) -> list[OrderPiece]:
    return [found for found in floor.all(OrderPiece) if found.order_id == order.id]


def order_of_piece(floor: ShopFloor, piece: Piece) -> CustomerOrder | None:
    """Return the order that a piece goes to, or nothing."""
    found = (floor.get(CustomerOrder, t.order_id) for t in floor.all(OrderPiece) if t.piece_id == piece.id)
    return next(found, None)


def pieces_of(floor: ShopFloor, order: CustomerOrder) -> tuple[Piece, ...]:
    """Return the pieces that go to an order and weren't lost. Pieces of closed batches have to be brought first."""
    found = (floor.find(Piece, t.piece_id) for t in _ties(floor, order))
    return tuple(piece for piece in found if piece is not None and can_be_sold(piece))


def batches_of(floor: ShopFloor, order: CustomerOrder) -> tuple[int, ...]:
    """Return the batches whose pieces go to an order, among those that stand on the floor."""
    return tuple(sorted({piece.batch_id for piece in pieces_of(floor, order)}))


def open_orders(floor: ShopFloor) -> tuple[CustomerOrder, ...]:
    """Return the open orders, the earliest promise first, those without a day last."""
    found = [order for order in floor.all(CustomerOrder) if order.state is OrderState.OPEN]
    return tuple(sorted(found, key=lambda o: (o.promised is None, o.promised or "", o.id)))


def promised_day(order: CustomerOrder) -> date | None:
    """Return the day that an order is promised for, or nothing."""
    return date.fromisoformat(order.promised) if order.promised is not None else None


def missing(floor: ShopFloor, order: CustomerOrder) -> int:
    """Return how many an order still lacks a piece for."""
    return max(0, order.wanted - len(pieces_of(floor, order)))


@dataclass(frozen=True, slots=True)
class Claim:
    """A claim on pieces of a pattern: those of an open order, or of one that is still asked about (`order_id` None)."""

    pattern_id: int
    wanted: int
    promised: str | None
    order_id: int | None = None

    @property
    def turn(self) -> tuple[bool, str, float]:
        """Place in the row of claims: by the day promised, those without one last, then as they were taken."""
        return self.promised is None, self.promised or "", self.order_id if self.order_id is not None else float("inf")

    def __lt__(self, other: "Claim") -> bool:
        return self.turn < other.turn


def claims(floor: ShopFloor) -> tuple[Claim, ...]:
    """Return what the open orders lack letters for, in the order in which they are served."""
    found = (Claim(o.pattern_id, missing(floor, o), o.promised, o.id) for o in open_orders(floor))
    return tuple(claim for claim in found if claim.wanted)


def owed(floor: ShopFloor, pattern_id: int, before: Claim | None = None) -> int:
    """Return how many of a pattern are promised without a letter; of those served before a claim if one is named."""
    own = (claim for claim in claims(floor) if claim.pattern_id == pattern_id)
    return sum(claim.wanted for claim in own if before is None or claim < before)


def over_promised(floor: ShopFloor) -> dict[int, int]:
    """Return by pattern how many more are promised than there are pieces for; patterns with enough are left out."""
    free = _unpromised_by_pattern(floor)
    found = {pattern: owed(floor, pattern) - free[pattern] for pattern in {c.pattern_id for c in claims(floor)}}
    return {pattern: n for pattern, n in sorted(found.items()) if n > 0}


def short(floor: ShopFloor, order: CustomerOrder) -> int:
    """Return how many of what an order lacks there is no piece for, once those served before it have theirs."""
    lacks, before = missing(floor, order), owed(floor, order.pattern_id, _claim(order))
    free = _unpromised_by_pattern(floor)[order.pattern_id]
    return min(lacks, max(0, before + lacks - free))


def reservable(floor: ShopFloor, order: CustomerOrder | Claim, wanted: int) -> tuple[Piece, ...]:
    """Return up to so many pieces that go to nobody, beyond those that earlier promises need; oldest batch first."""
    claim = order if isinstance(order, Claim) else _claim(order)
    first = owed(floor, claim.pattern_id, claim)
    return tuple(_free(floor, claim.pattern_id))[first : first + wanted]


def _claim(order: CustomerOrder) -> Claim:
    return Claim(order.pattern_id, order.wanted, order.promised, order.id)


def _free(floor: ShopFloor, pattern_id: int) -> Iterable[Piece]:
    return (p for f in unpromised(floor) if f.batch.pattern_id == pattern_id for p in f.pieces)


def replacement(floor: ShopFloor, order: CustomerOrder, lost: Piece) -> Piece | None:
    """Return the piece that an order can have instead of one that was lost: of its batch, else of another."""
    found = reservable(floor, order, MOST_WANTED)
    return min(found, key=lambda piece: piece.batch_id != lost.batch_id, default=None)


@dataclass(frozen=True, slots=True)
class Unpromised:
    """The pieces of an open batch that go to nobody yet."""

    batch: Batch
    pieces: tuple[Piece, ...]


def unpromised(floor: ShopFloor, pattern: Pattern | None = None) -> tuple[Unpromised, ...]:
    """Return what goes to nobody of the open batches, by batch, oldest first; of one pattern or of all.

    Pieces that will be seconds or are set aside are left out: nobody was promised those.
    """
    taken = {tie.piece_id for tie in floor.all(OrderPiece)}
    found = []
    for batch in floor.open_batches():
        if pattern is not None and batch.pattern_id != pattern.id:
            continue
        free = [p for p in floor.living(batch.id) if p.id not in taken and not p.second and not p.set_aside]
        if free:
            found.append(Unpromised(batch, tuple(free)))
    return tuple(found)


def to_promise(floor: ShopFloor) -> int:
    """Return how many pieces can still be promised: those that go to nobody, less what orders still lack."""
    return sum(max(0, n - owed(floor, pattern)) for pattern, n in _unpromised_by_pattern(floor).items())


def _unpromised_by_pattern(floor: ShopFloor) -> Counter[int]:
    free = Counter[int]()
    for found in unpromised(floor):
        free[found.batch.pattern_id] += len(found.pieces)
    return free
