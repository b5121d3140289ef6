"""The Bench's workshop."""

from tests.screens.bench.conftest import shop

__all__ = ["shop"]
