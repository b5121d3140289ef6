"""How quick the window is, as one table: `.venv/bin/python -m tests.speed.table --help`.

Each row is measured in a process of its own, on this machine and, when asked, on the slow one (`machines`); with
`--tree` also of another checkout that has its own .venv, in turn with this one. Nothing here fails on time.
"""

from __future__ import annotations

import argparse
import json
import shutil
import sys
import tempfile
import time
from contextlib import ExitStack
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from statistics import median, quantiles
from typing import TYPE_CHECKING, Any

from tests.speed.large import INTERVALS, large_record
from tests.speed.machines import Machine, NoSlowMachineError, quiet_machine, screen, slow_machine
from tests.speed.many import many_record
from tests.speed.notes_rows import notes_text
from tests.speed.test_many_years import pressed
from tests.speed.test_press import beside_plain

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

Told = dict[str, Any]
ROOT = Path(__file__).resolve().parents[2]
STARTS = 5
FELT_MS = 150
"""A press that is painted later than this is felt: the bound that is wanted of one in a hundred."""
NOTES = 1_000


@dataclass(frozen=True)
class Row:
    """A row: its words, what is wanted of it, the program that is run, how its figure is told."""

    words: str
    wanted: str
    program: str
    figure: Callable[[Sequence[Told]], str]
    wanted_quiet: str = ""


def ms(seconds: float) -> str:
    return f"{seconds * 1000:.0f} ms"


def _without_disk(told: Told) -> list[float]:
    return [took - disk for took, disk in zip(told["ms"], told["disk"], strict=True)]


def _spread(values: Sequence[float]) -> str:
    return f"{median(values):.0f} / {quantiles(values, n=100)[98]:.0f} ms"


def _press(runs: Sequence[Told]) -> str:
    return _spread(_without_disk(runs[0]))


def _press_whole(runs: Sequence[Told]) -> str:
    return _spread(runs[0]["ms"])


def _press_of_processor(runs: Sequence[Told]) -> str:
    return _spread(runs[0]["cpu"])


def _filled(runs: Sequence[Told]) -> str:
    """When the tile filled under a quick tap; where it didn't before the press was done, so long it took."""
    pairs = list(zip(runs[0]["filled"], runs[0]["ms"], strict=True))
    share = sum(filled is not None for filled, _ in pairs) / len(pairs)
    return f"{_spread([whole if filled is None else filled for filled, whole in pairs])}, {share:.0%} filled"


def _seven(runs: Sequence[Told]) -> str:
    """The slowest press of a whole batch with its words, and how many were painted later than one would feel."""
    took = _without_disk(runs[0])
    if runs[0]["closed"] != ["26-01"]:
        raise RuntimeError(f"closed at the end: {runs[0]['closed']}")
    worst, words = max(zip(took, runs[0]["words"], strict=True))
    late = sum(one > FELT_MS for one in took)
    return f"{_spread(took)}, worst {worst:.0f} ({words}), {late} of {len(took)} over {FELT_MS} ms"


def _middle(runs: Sequence[Told], key: str, since: str = "began") -> float:
    return median(run[key] - run[since] for run in runs)


def _dead(runs: Sequence[Told]) -> str:
    return ms(_middle(runs, "usable", "painted"))


def _tabs(runs: Sequence[Told]) -> str:
    first, again = ({**runs[0][said]} for said in ("first", "again"))
    worst = max(first, key=first.__getitem__)
    return f"{first[worst]:.2f} ({worst}) / {max(again.values()):.2f} s"


def _frozen(runs: Sequence[Told]) -> str:
    return ms(runs[0]["frozen"])


def _promise(runs: Sequence[Told]) -> str:
    return f"{runs[0]['rough']:.1f} / {runs[0]['final']:.1f} s"


def _notes(runs: Sequence[Told]) -> str:
    alone, beside = (median(_without_disk(runs[0][said])) for said in ("alone", "beside"))
    return f"{beside:.0f} ms, {beside / alone:.2f} times" + (f" ({runs[0]['error']})" if runs[0]["error"] else "")


def _idle(runs: Sequence[Told]) -> str:
    return f"{runs[0]['cpu'] * 100:.2f} %"


def _memory(runs: Sequence[Told]) -> str:
    return f"{median(run['rss_mb'] for run in runs):.0f} MB"


def _family(runs: Sequence[Told]) -> str:
    return f"{runs[0]['family_mb']:.0f} MB"


ROWS = (
    Row("finger down to painted without the disk's wait, median / p99", "60 / 150 ms", "presses", _press, "16 / 33 ms"),
    Row("  with the disk's wait", "", "presses", _press_whole),
    Row("  of the processor", "", "presses", _press_of_processor),
    Row("  a quickly tapped tile fills, median / p99", "50 ms", "presses", _filled),
    Row("a batch of seven, copied to closed", "150 ms", "seven", _seven),
    Row("  a quickly tapped tile fills, median / p99", "50 ms", "seven", _filled),
    Row("painted window that takes no press yet", "0.8 s", "start", _dead),
    Row("first chart in Trends, frozen", "150 ms", "first_chart", _frozen),
    Row("Plan, Next batch, frozen", "150 ms", "next_batch", _frozen),
    Row("tab, first time (worst) / again", "0.4 / 0.15 s", "tabs", _tabs),
    Row("Promise: rough / final", "1 / 3 s", "promise", _promise),
    Row("presses while 1,000 rows of notes are read, median", "1.3 times", "beside_notes", _notes),
    Row("three timers, of a core: Bench", "", "idle", _idle, "0.3 %"),
    Row("  covered", "", "covered", _idle, "0.05 %"),
    Row("  minimised", "", "minimised", _idle, "0.05 %"),
    Row("resident memory at the Bench", "90 MB", "start", _memory),
    Row("  with the worker", "220 MB", "promise", _family),
)  # fmt: skip


MAKERS = dict.fromkeys(("idle", "covered", "minimised"), "make_timers") | {"seven": "make_shop"}
"""Who writes the record of a program, where it isn't the demo shop's."""


class Bench:
    """Runs programs of `windows` in the checkouts that are compared."""

    def __init__(self, folder: Path, trees: Sequence[Path], environment: dict[str, str]) -> None:
        self._folder = folder
        self._trees = trees
        self._environment = environment
        self._records: dict[tuple[Path, str], tuple[Path, str]] = {}
        self._number = 0

    def runs(self, program: str, machine: Machine) -> list[list[Told]]:
        """What each checkout's program told, its rounds one after the other, the checkouts in turn."""
        rounds = range(-1, STARTS) if program == "start" else range(1)
        found = [[self.one(tree, program, machine) for tree in self._trees] for _ in rounds]
        return [list(of_tree) for of_tree in zip(*found[1 if len(rounds) > 1 else 0 :], strict=True)]

    def one(self, tree: Path, program: str, machine: Machine) -> Told:
        """Run a program on a copy of its record; instants in s of the clock that all processes share."""
        maker = MAKERS.get(program, "make_demo")
        kept, now_us = self._record(tree, maker)
        self._number += 1
        record = self._folder / f"{self._number}" / "shop.shopclock"
        record.parent.mkdir()
        shutil.copy(kept, record)
        if program == "beside_notes":
            (record.parent / "notes.csv").write_text(notes_text(NOTES), encoding="utf-8")
        began = time.monotonic()
        words = (program, str(record), now_us)
        return window_program(machine, self._environment, *words, tree=tree) | {"began": began}

    def _record(self, tree: Path, maker: str) -> tuple[Path, str]:
        """The record a program is run on, written by its checkout itself, and the instant it is opened at."""
        if (tree, maker) not in self._records:
            path = self._folder / f"{tree.name}-{maker}.shopclock"
            now_us = _started(quiet_machine(), self._environment, tree, maker, str(path))[-1]
            self._records[tree, maker] = path, now_us
        return self._records[tree, maker]


def window_program(machine: Machine, environment: dict[str, str], *words: str, tree: Path = ROOT) -> Told:
    """Run a program of `windows` with the code of a checkout; what it told."""
    return json.loads(_started(machine, environment, tree, *words)[-1])


def _started(machine: Machine, environment: dict[str, str], tree: Path, *words: str) -> list[str]:
    own = tree / ".venv/bin/python"
    python = str(own) if tree != ROOT and own.exists() else sys.executable
    command = [python, str(ROOT / "tests/speed/windows.py"), *words]
    done = machine.run(command, environment | {"PYTHONPATH": str(tree)}, tree)
    if done.returncode != 0 or not done.stdout:
        raise RuntimeError(f"{words[0]} in {tree} failed:\n{done.stderr}")
    return done.stdout.splitlines()


def against_a_bare_window(bench: Bench, machine: Machine) -> Iterator[str]:
    """First paint, first press and memory as ratios to the least window there is, each started in turn with it."""
    bare, own = [], []
    for _ in range(-1, STARTS):
        bare.append(bench.one(ROOT, "bare", machine))
        own.append(bench.one(ROOT, "start", machine))
    del bare[0], own[0]  # the first run compiles
    least = _middle(bare, "painted")
    yield f"a bare window is painted in {ms(least)}, with {_memory(bare)}; ours, in times of that:"
    for key, wanted in (("painted", "1.4"), ("pressed", "3")):
        yield f"  {key} in {ms(_middle(own, key))}, {_middle(own, key) / least:.2f} times (wanted: {wanted})"
    times = median(run["rss_mb"] for run in own) / median(run["rss_mb"] for run in bare)
    yield f"  {_memory(own)}, {times:.2f} times (wanted: 1.6)"


def against_sqlite3() -> Iterator[str]:
    """A press on its way to the disk, in a record of a hundred thousand intervals, as a ratio to sqlite3 alone."""
    with tempfile.TemporaryDirectory() as folder:
        shop = large_record(Path(folder))
        ours, plain, each = beside_plain(shop, Path(folder) / "copy")
        shop.close()
    yield f"the record's part of a press, {each:.0f} statements in a record of {INTERVALS} intervals: {_fine(ours)};"
    yield f"  the same by sqlite3 alone {_fine(plain)}: {median(ours) / median(plain):.2f} times (wanted: 2)"


def with_a_million() -> Iterator[str]:
    """The same in a record of a million intervals, which is made once: it takes minutes."""
    with tempfile.TemporaryDirectory() as folder:
        shop = many_record(Path(folder))
        yield f"the same in a record of a million: {_fine(pressed(shop))}"
        shop.close()


def _fine(values: Sequence[float]) -> str:
    return f"{median(values):.1f} / {quantiles(values, n=100)[98]:.1f} ms"


def told(machines: Sequence[Machine], trees: Sequence[Path], rows: Sequence[Row]) -> Iterator[str]:
    """The table, line by line as it is measured."""
    columns = [f"{machine.name}{f', {tree.name}' if len(trees) > 1 else ''}" for machine in machines for tree in trees]
    yield " | ".join(["", *columns, "wanted, slow", "quiet"])
    with screen() as environment, tempfile.TemporaryDirectory() as folder:
        bench = Bench(Path(folder), trees, environment)
        known: dict[str, list[list[Told]]] = {}
        for row in rows:
            if row.program not in known:
                known[row.program] = [runs for machine in machines for runs in bench.runs(row.program, machine)]
            figures = [row.figure(runs) for runs in known[row.program]]
            yield " | ".join([row.words, *figures, row.wanted, row.wanted_quiet])
        for machine in machines if rows == ROWS else ():
            yield f"{machine.name}:"
            yield from against_a_bare_window(bench, machine)


def main() -> None:
    """Print the table."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--slow", action="store_true", help="also on the slow machine")
    words.add_argument("--only-slow", action="store_true", help="on the slow machine alone")
    words.add_argument("--million", action="store_true", help="also presses in a record of a million intervals")
    words.add_argument("--tree", type=Path, action="append", default=[], help="also of this checkout")
    words.add_argument("--rows", default="", help="only rows whose program or words hold this")
    asked = words.parse_args()
    rows = tuple(row for row in ROWS if asked.rows in row.program or asked.rows in row.words)
    with ExitStack() as left:
        machines = [] if asked.only_slow else [quiet_machine()]
        if asked.slow or asked.only_slow:
            try:
                machines.append(left.enter_context(slow_machine()))
            except NoSlowMachineError as error:
                raise SystemExit(str(error)) from None
        lines = [told(machines, [ROOT, *(tree.resolve() for tree in asked.tree)], rows)]
        if not asked.rows and not asked.only_slow:
            lines.append(against_sqlite3())
        if asked.million:
            lines.append(with_a_million())
        for line in chain.from_iterable(lines):
            sys.stdout.write(f"{line}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
