"""How loads are said: what lies in a tool, how much room it has, who waits for it and until when."""

from shopclock.shop.floor import Floor
from shopclock.shop.loads import Blocked, free, holder, inside, lying
from shopclock.shop.marks import spoken
from shopclock.shop.values import Load, Step, Tool
from shopclock.shop.wording import counted, when_text, zone_of


def blocked_text(floor: Floor, found: Blocked, now_us: int) -> str:
    """Say why a tool takes no more: oven full until 20:55, oven at 800 °C until 20:55, oven holds 5."""
    if found.empty:
        return f"{found.tool.name} holds {found.tool.capacity:g}"
    why = f"{found.tool.name} at {found.setting}" if found.setting else f"{found.tool.name} full"
    if found.until_us is None:
        return why
    when = when_text(found.until_us, now_us, zone_of(floor))
    return f"{why} until {when}" if found.until_us > now_us else f"{why}, ready since {when}"


def wait_sentence(floor: Floor, found: Blocked, now_us: int) -> str:
    """Say in one line who waits for a tool, and until when: F–J: oven full until 20:55."""
    return f"{spoken(floor.marks(found.pieces))}: {blocked_text(floor, found, now_us)}."


def ready_inside(floor: Floor, step: Step) -> str:
    """Say that a step's tool has room once what has lasted its time is out: oven: take out what is ready first."""
    return f"{floor.get(Tool, step.tool_id or 0).name}: take out what is ready first"


def load_text(floor: Floor, load: Load) -> str:
    """Say a load: oven 200 °C, clamps."""
    return f"{floor.get(Tool, load.tool_id).name} {load.setting}".strip()


def in_text(floor: Floor, load: Load) -> str:
    """Say what lies in a load's tool: oven 200 °C: A–E; of several batches each by name."""
    by_batch: dict[int, list[int]] = {}
    for interval in inside(floor, floor.get(Tool, load.tool_id)):
        by_batch.setdefault(interval.batch_id or 0, []).extend(lying(floor, interval))
    return f"{load_text(floor, load)}: {', '.join(spoken(floor.marks(pieces)) for pieces in by_batch.values())}"


def room_text(floor: Floor, step: Step, found: Blocked | None, now_us: int) -> str:
    """Say how much room a step's tool has, or why it has too little: oven has room for 5 blades, clamps hold 8."""
    if found is not None:
        return blocked_text(floor, found, now_us)
    tool, n = holder(floor, step), free(floor, step)
    return f"{tool.name} has room for {counted(floor, 'piece', n)}" if tool is not None and n else ""
