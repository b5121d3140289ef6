"""python3 -m tests.mutation [labour shares …]: breaks a file in every small way and asks whether a test notices.

Each mutant is tried in a process of its own, forked with the libraries read in already, where the module is made of the
mutant's text: no file is touched. Mutants listed in equivalent.toml have to survive, all others to be killed.
"""

from __future__ import annotations

import argparse
import gc
import importlib.util
import os
import sys
import time
import tomllib
import traceback
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import hypothesis
import pytest

from tests.mutation.mutants import Mutant, mutants

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

TOP = Path(__file__).resolve().parents[2]
LISTED = Path(__file__).with_name("equivalent.toml")


@dataclass(frozen=True, slots=True)
class Target:
    """A file to break and the tests that have to notice, the quickest first."""

    path: str
    tests: tuple[str, ...]

    @property
    def module(self) -> str:
        """Its dotted name."""
        return self.path.removesuffix(".py").replace("/", ".")


TARGETS = {
    "labour": Target("shopclock/shop/figures/labour.py", ("tests/shop/figures/test_labour.py",)),
    "shares": Target("shopclock/shop/figures/shares.py", ("tests/shop/figures/test_shares.py",)),
    "derive": Target("shopclock/shop/figures/derive.py", ("tests/shop/figures/test_derive.py",)),
    "fold": Target("shopclock/shop/state/fold.py", ("tests/shop/state/test_fold.py",)),
    "spent": Target("shopclock/shop/figures/piece_labour.py", ("tests/shop/figures/test_batch_figures.py",)),
    "figures": Target("shopclock/shop/figures/batch_figures.py", ("tests/shop/figures/test_batch_figures.py",)),
    "money": Target("shopclock/shop/values/money.py", ("tests/shop/values/test_money.py",)),
    "rates": Target("shopclock/shop/setup/rates.py", ("tests/shop/values/test_money.py",)),
    "costs": Target("shopclock/shop/setup/costs.py", ("tests/shop/values/test_money.py",)),
    "cost": Target("shopclock/analysis/money/cost.py", ("tests/analysis/money/test_cost.py",)),
    "earnings": Target("shopclock/analysis/money/earnings.py", ("tests/analysis/money/test_earnings.py",)),
}
WARM = ("numpy", "portion", "PySide6.QtTest", "PySide6.QtWidgets")
"""What the tests import that is none of ours, and so is read once for all mutants."""


class _FirstFailureIsEnough:
    """Takes from hypothesis what only a reader of the failure needs."""

    def pytest_configure(self) -> None:
        phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
        hypothesis.settings.register_profile("mutants", hypothesis.settings(), phases=phases, database=None)
        hypothesis.settings.load_profile("mutants")


def _tested(target: Target, source: str, seconds: int | None) -> int:
    """Start the tests of a target against a source in a child; returns the child's number."""
    child = os.fork()
    if child:
        return child
    code = 3
    try:
        if seconds is not None:
            import resource  # which Windows has not, where nothing forks either

            # of the processor's time: a mutant that never ends is killed however busy the machine
            resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
            resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
            silent = os.open(os.devnull, os.O_WRONLY)
            os.dup2(silent, 1)
            os.dup2(silent, 2)
        _read_in(target, source)
        plain = ["-x", "-q", "--assert=plain", "-p", "no:cacheprovider", "--no-header", "--tb=short"]
        code = int(pytest.main([*plain, "--rootdir", str(TOP), *target.tests], [_FirstFailureIsEnough()]))
    except BaseException:
        traceback.print_exc()
        raise
    finally:  # and never back into the run that it was forked from
        sys.stdout.flush()
        os._exit(code)


def _warm_up(target: Target, source: str) -> None:
    """Read in what a target rests on, and nothing that rests on it: its mutants have that in common."""
    for name in [name for name in sys.modules if name.partition(".")[0] == "shopclock"]:
        del sys.modules[name]
    _read_in(target, source)
    del sys.modules[target.module]
    gc.collect()
    gc.freeze()  # collections in the children needn't look at it


def _read_in(target: Target, source: str) -> None:
    """Make a target's module of a source, before anybody imports it."""
    spec = importlib.util.spec_from_file_location(target.module, TOP / target.path)
    assert spec is not None
    module = sys.modules[target.module] = importlib.util.module_from_spec(spec)
    exec(compile(source, target.path, "exec"), module.__dict__)  # noqa: S102 - a source of ours with one thing wrong


def _survivors(target: Target, some: Sequence[Mutant], seconds: int, jobs: int) -> Iterator[Mutant]:
    """Yield the mutants under which all tests pass, as many tried at a time as there are jobs.

    One that uses up its seconds is killed by them; a child that somebody else kills says nothing and ends the run.
    """
    waiting, running = list(reversed(some)), {}
    while waiting or running:
        while waiting and len(running) < jobs:
            mutant = waiting.pop()
            running[_tested(target, mutant.source, seconds)] = mutant
        child, status, used = os.wait3(0)
        mutant = running.pop(child)
        if os.WIFSIGNALED(status) and used.ru_utime + used.ru_stime < seconds - 1:
            sys.exit(f"Killed from outside: {mutant.key}")
        if status == 0:
            yield mutant


def judged(found: Sequence[Mutant], survived: Sequence[Mutant], listed: dict[tuple[str, str, str], str]) -> list[str]:
    """Return what is wrong: survivors that are not listed, listed ones that were killed or are none (any more)."""
    keys, alive = {mutant.key for mutant in found}, {mutant.key for mutant in survived}
    return [
        *(_told("survived", mutant.key) for mutant in survived if mutant.key not in listed),
        *(_told("listed as equivalent but killed", key) for key in listed if key in keys - alive),
        *(_told("listed as equivalent but not there", key) for key in listed if key not in keys),
    ]


def _told(what: str, key: tuple[str, str, str]) -> str:
    return f"{what}: in {key[0] or 'the module'}\n    {key[1]}\n    {key[2]}"


def equivalent(name: str) -> dict[tuple[str, str, str], str]:
    """Return the mutants of a target that are listed as doing the same as the source, with the reason of each."""
    rows = tomllib.loads(LISTED.read_text("utf-8")).get(name, [])
    return {(row["place"], row["was"], row["now"]): row["why"] for row in rows}


def tried(name: str, jobs: int) -> list[str]:
    """Try all mutants of a target, print how many were killed and how long it took, return what is wrong."""
    target, began = TARGETS[name], time.monotonic()
    source = (TOP / target.path).read_text("utf-8")
    _warm_up(target, source)
    _, status, used = os.wait4(_tested(target, source, None), 0)
    if status:
        return [f"{name}: the tests fail without any mutant"]
    found, listed = mutants(source), equivalent(name)
    seconds = int(2 * (used.ru_utime + used.ru_stime)) + 2
    survived = list(_survivors(target, found, seconds, jobs))
    took = time.monotonic() - began
    sys.stdout.write(
        f"{name}: {len(found)} mutants, {len(found) - len(survived)} killed, {len(listed)} equivalent, {took:.0f} s\n"
    )
    return judged(found, survived, listed)


def main() -> int:
    """Try the targets named, or all of them; 1 where something is wrong."""
    asked = argparse.ArgumentParser(prog="python3 -m tests.mutation", description=__doc__)
    asked.add_argument("names", nargs="*", metavar="NAME", help=f"of {', '.join(TARGETS)}; all without")
    asked.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="how many at a time")
    given = asked.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.chdir(TOP)
    for module in WARM:
        importlib.import_module(module)
    wrong = [line for name in given.names or TARGETS for line in tried(name, given.jobs)]
    sys.stdout.writelines(f"{line}\n" for line in wrong)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
