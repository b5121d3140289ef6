"""A misspelt field of a thing is found by the type checker, wherever a rule makes, changes or starts one."""

import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[3]
BEGINS = """
from dataclasses import replace
from shopclock.shop.setup.list_edit import change_stage
from shopclock.shop.setup.route_edit import change_step
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval, Pattern, Piece, RouteStep, Scales, Stage, Step
from shopclock.shop.work.acts import put_in
from shopclock.shop.work.begin import split

def rule(tx: Transaction, piece: Piece, stage: Stage, pattern: Pattern, planned: RouteStep, step: Step) -> None:
"""
RIGHT = (
    "tx.change(replace(tx.current(piece), mark='x'))",
    "tx.add(Scales(number='12', piece_id=piece.id))",
    "split(tx, replace(tx.floor.get(Interval, 1), together=True))",
    "change_stage(tx, stage, one_by_one=True)",
    "change_step(tx, pattern, planned, wait_us=1)",
    "put_in(tx, step, together=True)",
)
WRONG = (
    "tx.change(replace(tx.current(piece), markk='x'))",
    "tx.change(replace(tx.current(piece), mark=7))",
    "tx.add(Scales(numbr='12', piece_id=piece.id))",
    "split(tx, replace(tx.floor.get(Interval, 1), togethr=True))",
    "change_stage(tx, stage, one_by_on=True)",
    "change_step(tx, pattern, planned, wait_s=1)",
    "put_in(tx, step, togethr=True)",
)


@pytest.mark.long
def test_the_type_checker_finds_every_misspelt_field_and_no_other(tmp_path: Path) -> None:
    file = tmp_path / "rules.py"
    file.write_text(BEGINS + "".join(f"    {line}\n" for line in (*RIGHT, *WRONG)), "utf-8")
    command = [sys.executable, "-m", "mypy", "--config-file", "pyproject.toml", str(file)]
    done = subprocess.run(command, cwd=TOP, capture_output=True, text=True, check=False)
    lines = file.read_text("utf-8").splitlines()
    told = {lines[int(line.split(":")[1]) - 1].strip() for line in done.stdout.splitlines() if ": error:" in line}
    assert told == set(WRONG), done.stdout + done.stderr
