"""The manual's page of figures names what there is, and the truth test's figures as they were measured."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from pkgutil import resolve_name

import pytest

from shopclock.places import resource

PAGE = resource("manual", "figures.md").read_text(encoding="utf-8")
WORKED_OUT: dict[str, list[str]] = tomllib.loads(Path(__file__).with_name("worked_out.toml").read_text("utf-8"))
NAMES = sorted({name for names in WORKED_OUT.values() for name in names})


@pytest.mark.parametrize("name", NAMES)
def test_what_works_a_figure_out_is_there(name: str) -> None:
    assert resolve_name(f"shopclock.{name}").__doc__


def test_of_every_section_it_is_known_what_works_it_out() -> None:
    sections = [section.splitlines()[0] for section in re.split(r"^### ", PAGE, flags=re.MULTILINE)[1:]]
    assert len(sections) > 12
    assert sections == list(WORKED_OUT)
    assert all(WORKED_OUT.values())


def test_every_answer_of_trends_has_its_section() -> None:
    wanted = (
        "model.shop_model.fit_shop",
        "model.verdict.verdict",
        "forecast.forecast.forecasts",
        "learning.change.change",
        "learning.learning.learning",
        "learning.by_date.by_date",
        "learning.methods.compare",
        "learning.run_chart.batch_after_batch",
        "learning.setup.fitted_setup",
        "learning.learning.cumulative_average",
        "learning.stages_table.stages_table",
        "learning.first_time.first_time",
    )
    assert [name for name in wanted if f"analysis.{name}" not in NAMES] == []
