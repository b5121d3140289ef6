"""Loads of a tool: which pieces lie in it, how many more fit, until when it is full or set otherwise."""

from collections.abc import Collection
from dataclasses import dataclass, replace

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import counted, when_text, zone_of
from shopclock.shop.values.entities import Interval, Load, Step, Tool
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.piece_progress import order_of, over, ready_at

NEARLY = 1e-9
"""Shares are decimal fractions: three thirds are a whole."""


@dataclass(frozen=True, slots=True)
class Blocked:
    """Block that keeps pieces out of a step's tool.

    `setting` is what it is set to where they need another; `until_us` when the first comes out, or (set
    otherwise) the last, if anybody knows; `empty` that more want in than it ever holds.
    """

    step: Step
    tool: Tool
    pieces: tuple[int, ...]
    setting: str
    until_us: int | None
    empty: bool


def holder(floor: ShopFloor, step: Step) -> Tool | None:
    """Return the tool that a step's pieces lie in, or nothing where it holds no load."""
    tool = floor.find(Tool, step.tool_id) if step.tool_id is not None else None
    return tool if tool is not None and tool.capacity is not None else None


def lying(floor: ShopFloor, interval: Interval) -> tuple[int, ...]:
    """Return the pieces of what runs that lie in its tool: where it is worked, those done have come out."""
    if interval.load_id is None or interval.step_id is None or not interval.running:
        return ()
    if not interval.kind.attended:
        return interval.pieces
    if interval.work is WorkKind.REWORK:
        done = done_again(floor, interval)
    else:
        done = {tally.piece_id for tally in floor.tallies_of(floor.get(Step, interval.step_id))}
    return tuple(piece for piece in interval.pieces if piece not in done)


def done_again(floor: ShopFloor, interval: Interval) -> set[int]:
    """Return the pieces done in a stretch of rework, and in those that it goes on from."""
    done: set[int] = set()
    here: Interval | None = interval
    while here is not None:
        done |= {tally.piece_id for tally in floor.hands.done_in(here)}
        here = floor.find(Interval, here.continues_id or 0)
    return done


def inside(floor: ShopFloor, tool: Tool) -> tuple[Interval, ...]:
    """Return what runs with something lying in a tool, by start."""
    running = (i for i in floor.running.values() if i.load_id is not None and lying(floor, i))
    found = (i for i in running if floor.get(Load, i.load_id or 0).tool_id == tool.id)
    return tuple(sorted(found, key=lambda i: (i.start_us, i.id)))


def load_in(floor: ShopFloor, tool: Tool) -> Load | None:
    """Return the load that lies in a tool, or nothing where it is empty."""
    return next((floor.get(Load, i.load_id or 0) for i in inside(floor, tool)), None)


def taken(floor: ShopFloor, tool: Tool) -> float:
    """Return how many shares of a tool are taken."""
    return sum(_share(floor, i) * len(lying(floor, i)) for i in inside(floor, tool))


def _share(floor: ShopFloor, interval: Interval) -> float:
    return floor.get(Step, interval.step_id or 0).tool_share


def agree(one: str, other: str) -> bool:
    """Tell whether a tool can be at both settings; where none is named, any will do."""
    return not one or not other or one.casefold() == other.casefold()


def stopping(floor: ShopFloor, maker_id: int, step: Step) -> frozenset[int]:
    """Return what runs by hand and stops when a step is started, by number."""
    if step.kind is not Kind.HANDS_ON:
        return frozenset()
    running = floor.running.values()
    return frozenset(i.id for i in running if i.maker_id == maker_id and i.kind is Kind.HANDS_ON)


def lasted(floor: ShopFloor, step: Step, now_us: int) -> tuple[Interval, ...]:
    """Return what lies in a step's tool and has lasted its time, by start."""
    tool = holder(floor, step)
    return (
        tuple(i for i in inside(floor, tool) if not i.kind.attended and over(floor, i, now_us))
        if tool is not None
        else ()
    )


def one_load(floor: ShopFloor, interval: Interval, now_us: int) -> tuple[Interval, ...]:
    """Return the waits that come out with one: those of its step, and once it has lasted all that have in its load."""
    if interval.load_id is None:
        return (interval,)
    mates = [i for i in floor.running.values() if i.load_id == interval.load_id and not i.kind.attended]
    done = over(floor, interval, now_us)
    out = (i for i in mates if i.step_id == interval.step_id or (done and over(floor, i, now_us)))
    return tuple(sorted(out, key=lambda i: (i.start_us, i.id)))


def fits(floor: ShopFloor, step: Step, pieces: Collection[int], leaving: Collection[int] = ()) -> tuple[int, ...]:
    """Return which of these pieces go into a step's tool now, in their order; all where it holds no load.

    Pieces that lie in it already for what comes before need no more room. `leaving` are intervals that
    come out by the same press.
    """
    tool = holder(floor, step)
    if tool is None or tool.capacity is None:
        return tuple(pieces)
    there = [i for i in inside(floor, tool) if i.id not in leaving]
    coming = {p: _share(floor, i) for i in there for p in lying(floor, i) if p in pieces and _gives_way(floor, step, i)}
    total = sum(_share(floor, i) * len(lying(floor, i)) for i in there)
    going: set[int] = set()
    for piece in sorted(pieces, key=lambda p: p not in coming):
        more = step.tool_share - coming.get(piece, 0.0)
        if total + more <= tool.capacity + NEARLY:
            going.add(piece)
            total += more
    if any(_set_otherwise(floor, step, i) for i in _staying(floor, step, going, there)):
        return ()
    return tuple(piece for piece in pieces if piece in going)


def _staying(floor: ShopFloor, step: Step, going: Collection[int], there: Collection[Interval]) -> list[Interval]:
    """Return what has pieces lying on in a tool when these start a step."""
    return [i for i in there if not (_gives_way(floor, step, i) and set(lying(floor, i)) <= set(going))]


def _gives_way(floor: ShopFloor, step: Step, interval: Interval) -> bool:
    return interval.batch_id == step.batch_id and order_of(floor, step.batch_id).in_the_way(step, interval.step_id)


def _set_otherwise(floor: ShopFloor, step: Step, interval: Interval) -> bool:
    return not agree(step.setting, floor.get(Load, interval.load_id or 0).setting)


def room(
    floor: ShopFloor, step: Step, pieces: Collection[int], leaving: Collection[int], now_us: int
) -> tuple[int, ...]:
    """Return which pieces go in when what has lasted its time is taken out, if they need the room."""
    going = fits(floor, step, pieces, leaving)
    if len(going) == len(pieces):
        return going
    return fits(floor, step, pieces, {*leaving, *(i.id for i in lasted(floor, step, now_us))})


def blocked(
    floor: ShopFloor, step: Step, pieces: Collection[int], leaving: Collection[int], now_us: int
) -> Blocked | None:
    """Return what keeps some of these pieces out of a step's tool, or nothing where all go in."""
    tool, going = holder(floor, step), room(floor, step, pieces, leaving, now_us)
    left = tuple(piece for piece in pieces if piece not in going)
    if tool is None or not left:
        return None
    there = _staying(floor, step, going, [i for i in inside(floor, tool) if i.id not in leaving])
    wrong = next((i for i in there if _set_otherwise(floor, step, i)), None)
    ends = [ready_at(floor, interval) for interval in there]
    known = [end for end in ends if end is not None]
    if wrong is not None:
        setting = floor.get(Load, wrong.load_id or 0).setting
        return Blocked(step, tool, left, setting, max(known) if len(known) == len(ends) else None, empty=False)
    return Blocked(step, tool, left, "", min(known, default=None), empty=not there)


def load_for(
    tx: Transaction, step: Step, pieces: Collection[int], own_id: int | None = None, *, in_spite: bool = False
) -> int | None:
    """Return the load that these pieces are in when they start a step: the one that lies there, else a new one.

    `own_id` is the load that they join where the tool is empty. Nothing where the tool holds no load, or has no
    room: what begins by itself then begins beside it. `in_spite` of that they are in it: with what lies there at
    their setting, else as a load of their own.
    """
    tool = holder(tx.floor, step)
    if tool is None or (not in_spite and len(fits(tx.floor, step, pieces)) < len(pieces)):
        return None
    loads = [tx.floor.get(Load, i.load_id or 0) for i in inside(tx.floor, tool)]
    there = next((load for load in loads if not in_spite or agree(load.setting, step.setting)), None)
    if there is None and own_id is not None:
        there = tx.floor.get(Load, own_id)
    if there is None:
        return new_load(tx, tool, step.setting).id
    set_to(tx, tool, there.setting or step.setting)
    return tx.change(replace(tx.current(there), setting=there.setting or step.setting)).id


def new_load(tx: Transaction, tool: Tool, setting: str) -> Load:
    """Put a load into a tool, which is at its setting from now on."""
    set_to(tx, tool, setting)
    return tx.add(Load(tool_id=tool.id, setting=setting))


def set_to(tx: Transaction, tool: Tool, setting: str) -> None:
    """Note what a tool is set to; a load that needs no setting leaves it as it was."""
    if setting:
        tx.change(replace(tx.current(tool), setting_now=setting))


def blocked_text(floor: ShopFloor, found: Blocked, now_us: int) -> str:
    """Say why a tool takes no more: oven full until 20:55, oven at 800 °C until 20:55, oven holds 5."""
    if found.empty:
        return f"{found.tool.name} holds {found.tool.capacity:g}"
    why = f"{found.tool.name} at {found.setting}" if found.setting else f"{found.tool.name} full"
    if found.until_us is None:
        return why
    when = when_text(found.until_us, now_us, zone_of(floor))
    return f"{why} until {when}" if found.until_us > now_us else f"{why}, ready since {when}"


def wait_sentence(floor: ShopFloor, found: Blocked, now_us: int) -> str:
    """Say in one line who waits for a tool, and until when: F–J wait: oven full until 20:55."""
    return f"{who_waits(floor, found.pieces)}: {blocked_text(floor, found, now_us)}."


def who_waits(floor: ShopFloor, pieces: Collection[int]) -> str:
    """Say who waits: C waits, F–J wait."""
    return f"{spoken(floor.marks(pieces))} {'waits' if len(pieces) == 1 else 'wait'}"


def ready_inside(floor: ShopFloor, step: Step) -> str:
    """Say that a step's tool has room once what has lasted its time is out: oven: take out what is ready first."""
    return f"{floor.get(Tool, step.tool_id or 0).name}: take out what is ready first"


def load_text(floor: ShopFloor, load: Load) -> str:
    """Say a load: oven 200 °C, clamps."""
    return f"{floor.get(Tool, load.tool_id).name} {load.setting}".strip()


def in_text(floor: ShopFloor, load: Load) -> str:
    """Say what lies in a load's tool: oven 200 °C: A–E; of several batches each by name."""
    by_batch: dict[int, list[int]] = {}
    for interval in inside(floor, floor.get(Tool, load.tool_id)):
        by_batch.setdefault(interval.batch_id or 0, []).extend(lying(floor, interval))
    return f"{load_text(floor, load)}: {', '.join(spoken(floor.marks(pieces)) for pieces in by_batch.values())}"


def room_text(floor: ShopFloor, step: Step, found: Blocked | None, now_us: int) -> str:
    """Say how much room a step's tool has, or why it has too little: oven has room for 5 blades, clamps hold 8."""
    if found is not None:
        return blocked_text(floor, found, now_us)
    tool = holder(floor, step)
    if tool is None or tool.capacity is None:
        return ""
    n = int((tool.capacity - taken(floor, tool)) / step.tool_share + NEARLY)
    return f"{tool.name} has room for {counted(floor, 'piece', n)}" if n > 0 else ""
