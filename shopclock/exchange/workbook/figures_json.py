"""The figures for scripts: `shopclock figures [BATCH] --json`.

Keys stay as they are once released; new ones may be added. Minutes are decimal and end in `_min`; a quotient that has
nothing to divide by is null. Instants are ISO 8601 in UTC. For each stage and for the whole batch, as sums:

    pieces_finished × per_finished_min = spent_min
    spent_min = finished_run_min + finished_setup_min + finished_rework_min
              + carried_lost_min + carried_kept_min + carried_cut_down_min

| key | is |
|---|---|
| `format` | 1, the version of these keys |
| `now` | the instant until which running work counts |
| `zone` | the shop's time zone |
| `batches` | a list, oldest first, of: |
| — `batch` | the batch's name |
| — `key` | names the batch for good (UUID) |
| — `pattern` | its pattern's name |
| — `started`, `closed` | when; `closed` is null while it is open |
| — `so_far` | true while it is open: pieces in work count as finished |
| — `at_least` | true where steps were not timed |
| — `pieces_started`, `pieces_finished`, `pieces_second` | counts; seconds are finished too |
| — `next_time` | the line for the next batch, "" without |
| — `whole` | the figures of the whole batch, keys as for a stage, without those that begin with `stage` or `passed` |
| — `stages` | a list, in the order of the route, of: |
| — — `stage`, `stage_key` | the stage's name, and its name for good (UUID) |
| — — `passed_pieces` | pieces through the stage |
| — — `passed_run_min` | minutes per piece: mean of run over the passed pieces |
| — — `passed_setup_min`, `passed_rework_min` | the same of set-up and of rework |
| — — `per_finished_min` | everything spent over the finished pieces |
| — — `spent_min` | everything spent, on all pieces |
| — — `finished_run_min`, `finished_setup_min`, `finished_rework_min` | the part of the finished pieces, by work |
| — — `carried_lost_min`, `carried_kept_min`, `carried_cut_down_min` | the part spent on the others, by outcome |
"""

import json
from collections.abc import Iterable
from typing import Any
from zoneinfo import ZoneInfo

from shopclock.exchange.workbook.cells import minutes
from shopclock.exchange.workbook.sheets import BatchLine
from shopclock.shop.figures.batch_figures import StageFigures
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.kinds import Outcome

FORMAT = 1
Tree = dict[str, Any]


def figures_json(floor: ShopFloor, lines: Iterable[tuple[BatchLine, ShopFloor]], now_us: int) -> str:
    """Return the figures of batches as JSON, with the keys of this module's table."""
    tree = {
        "format": FORMAT,
        "now": _instant(now_us),
        "zone": zone_of(floor).key,
        "batches": [_batch(floor, line) for line, _ in lines],
    }
    return json.dumps(tree, indent=2, ensure_ascii=False, allow_nan=False)


def _instant(at_us: int | None) -> str | None:
    if at_us is None:
        return None
    return shop_time(at_us, ZoneInfo("UTC")).isoformat().replace("+00:00", "Z")


def _batch(floor: ShopFloor, line: BatchLine) -> Tree:
    found, batch = line.figures, line.figures.batch
    return {
        "batch": batch.name,
        "key": batch.uuid,
        "pattern": line.row.pattern,
        "started": _instant(batch.started_us),
        "closed": _instant(batch.closed_us),
        "so_far": found.so_far,
        "at_least": found.at_least,
        "pieces_started": found.started,
        "pieces_finished": found.finished,
        "pieces_second": found.seconds,
        "next_time": batch.next_time,
        "whole": _spent(found.whole),
        "stages": [_stage(floor.get(Stage, stage.stage_id), stage) for stage in found.stages],
    }


def _stage(stage: Stage, found: StageFigures) -> Tree:
    return {
        "stage": stage.name,
        "stage_key": stage.uuid,
        "passed_pieces": found.passed,
        "passed_run_min": found.per_piece_min,
        "passed_setup_min": found.setup_per_piece_min,
        "passed_rework_min": found.rework_per_piece_min,
        **_spent(found),
    }


def _spent(found: StageFigures) -> Tree:
    return {
        "per_finished_min": found.per_finished_min,
        "spent_min": minutes(found.all_us),
        "finished_run_min": minutes(found.of_finished.run_us),
        "finished_setup_min": minutes(found.of_finished.setup_us),
        "finished_rework_min": minutes(found.of_finished.rework_us),
        "carried_lost_min": minutes(found.carried[Outcome.SCRAPPED]),
        "carried_kept_min": minutes(found.carried[Outcome.KEPT]),
        "carried_cut_down_min": minutes(found.carried[Outcome.CUT_DOWN]),
    }
