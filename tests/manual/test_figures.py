"""The manual's page of figures names what there is, and the truth test's figures as they were measured."""

from __future__ import annotations

import re
from pkgutil import resolve_name

import pytest

from shopclock.places import resource

PAGE = resource("manual", "figures.md").read_text(encoding="utf-8")
NAMES = sorted(set(re.findall(r"`((?:shop|analysis)\.[a-z_]+\.[A-Za-z_.]+)`", PAGE)))


@pytest.mark.parametrize("name", NAMES)
def test_what_works_a_figure_out_is_there(name: str) -> None:
    assert resolve_name(f"shopclock.{name}").__doc__


def test_every_section_says_what_works_it_out() -> None:
    sections = re.split(r"^### ", PAGE, flags=re.MULTILINE)[1:]
    assert len(sections) > 12
    assert [section.splitlines()[0] for section in sections if "Worked out by `" not in section] == []


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
