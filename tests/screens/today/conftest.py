"""The Bench's workshop, and its look."""

from tests.screens.bench.conftest import make_look, shop

__all__ = ["make_look", "shop"]
