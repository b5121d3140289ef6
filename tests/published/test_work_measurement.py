"""Allowances and readings needed against published.md, section 4."""

from __future__ import annotations

from shopclock.analysis.work_measurement import ShareOf, normal_min, readings_needed, standard_min


def test_stevenson_solved_problem() -> None:
    """Stevenson, Operations Management 14e, solved problem p. 329: 18.75, rating .96, 15 % of the day."""
    assert round(normal_min(18.75, 0.96), 2) == 18.00
    assert round(standard_min(18.00, 0.15, ShareOf.DAY), 2) == 21.18


def test_heizer_and_render_10_28() -> None:
    """Heizer & Render 10.28: element means 37.80, 12.5, 4.0, 17.75, ratings 1.20, 1.10, .90, .85, 15 % of the day."""
    elements = zip([37.80, 12.5, 4.0, 17.75], [1.20, 1.10, 0.90, 0.85], strict=True)
    normal = sum(normal_min(mean, rating) for mean, rating in elements)
    assert round(normal, 1) == 77.8
    assert round(standard_min(77.8, 0.15, ShareOf.DAY), 2) == 91.53


def test_heizer_and_render_10_26() -> None:
    """Heizer & Render 10.26: 3.5 3.2 4.1 3.6 3.9, 95 %, ±5 % → 15 readings."""
    assert readings_needed([3.5, 3.2, 4.1, 3.6, 3.9], within=0.05, share=0.95) == 15
