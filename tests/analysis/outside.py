"""Answers of others: libraries that had no part in ours. statsmodels still uses what pandas 3 calls outdated."""

from __future__ import annotations

import warnings

with warnings.catch_warnings():
    warnings.simplefilter("ignore", DeprecationWarning)
    from statsmodels.regression.linear_model import OLS
import pymannkendall

__all__ = ["OLS", "pymannkendall"]
