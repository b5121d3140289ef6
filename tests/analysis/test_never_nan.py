"""Whatever batches there are, each answer is made of finite figures or is a sentence."""

from __future__ import annotations

import dataclasses
import math
import re
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.ahead import Ahead
from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.by_date import by_date
from shopclock.analysis.learning.change import change
from shopclock.analysis.learning.learning import Learning, cumulative_average, learning
from shopclock.analysis.learning.methods import compare
from shopclock.analysis.learning.run_chart import batch_after_batch
from shopclock.analysis.learning.sentences import change_text
from shopclock.analysis.learning.setup import fitted_setup, pressed_setup
from shopclock.shop.figures.trend_rows import LeftOut
from tests.analysis.lots import lots
from tests.analysis.records import record_of
from tests.analysis.rows import BEVELS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shopclock.analysis.learning.stage_trend import Lot

MINUTES = st.one_of(st.just(0.0), st.just(20.0), st.floats(1e-6, 1e5))
BATCH = st.tuples(
    MINUTES,
    st.integers(1, 30),
    st.integers(1, 3),
    st.sampled_from([0.0, 0.0, 15.0]),
    st.integers(0, 2000),
    st.sampled_from([None, None, None, *LeftOut]),
)


@st.composite
def made(draw: st.DrawFn) -> list[Lot]:
    """Batches of any length, size, pattern, date, set-up, counted or not."""
    batches = draw(st.lists(BATCH, max_size=16))
    minutes, sizes, patterns, setups, days, outs = (
        (list(c) for c in zip(*batches, strict=True)) if batches else [[]] * 6
    )
    out = {i + 1: reason for i, reason in enumerate(outs) if reason is not None}
    before = draw(st.sampled_from([0, 0, 3, 500]))
    return lots(minutes, sizes, patterns, setup_min=setups, days=days, made_before=before, out=out)


def figures(answer: Any) -> Iterator[float]:
    """All numbers in an answer, however deep."""
    if isinstance(answer, float | int):
        yield float(answer)
    elif isinstance(answer, dict):
        for value in answer.values():
            yield from figures(value)
    elif isinstance(answer, tuple | list | frozenset):
        for value in answer:
            yield from figures(value)
    elif dataclasses.is_dataclass(answer):
        for field in dataclasses.fields(answer):
            yield from figures(getattr(answer, field.name))


def finite(answer: object) -> bool:
    return all(math.isfinite(value) for value in figures(answer))


@given(made())
def test_answers_over_one_method(batches: list[Lot]) -> None:
    for answer in (cumulative_average, pressed_setup):
        assert finite(answer(batches))
    record, chosen = record_of(batches)
    assert finite([by_date(chosen, 0.4), batch_after_batch(record, BEVELS, 0, chosen)])
    found = change(record, BEVELS, 0, chosen)
    assert finite(found)
    said = change_text(found, since="26-01")
    assert said
    assert "nan" not in said
    assert not re.search(r"\d{5}", said), said
    model = Ahead(record, BEVELS, 0)
    for pattern in chosen.patterns:
        assert finite([model.next_batch(pattern, 6), model.curve(pattern, batches, 6)])
    fit = learning(batches)
    assert finite(fit)
    if isinstance(fit, Learning):
        assert finite([fit.rate, fit.rate_range, fit.first_piece_min, fit.band(50, fit.fitted.patterns[0])])
        assert finite(fit.next_batch(fit.fitted.patterns[0], 6))
        assert finite(fitted_setup(fit))
    else:
        assert "{" not in fit.text()


@given(made(), made())
def test_answers_over_two_methods(one: list[Lot], other: list[Lot]) -> None:
    found = compare(one, other)
    assert finite(found)
    assert not isinstance(found, NoAnswer) or "{" not in found.text()


def test_figures_are_looked_at_however_deep() -> None:
    """The check itself: it must see an infinity inside a range inside an answer."""
    fit = learning(lots([20.0, 21, 22, 19, 20, 18]))
    assert isinstance(fit, Learning)
    spoilt = dataclasses.replace(fit, line=dataclasses.replace(fit.line, spread=math.inf))
    assert finite(fit)
    assert not finite(spoilt)
    assert pytest.approx(20, abs=3) == fit.points[0].minutes
