"""Errors that nobody expected, looked into: they come of damage where the record isn't sound, else they are ours."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from shopclock.record.file.error_text import DOES_NOT_FIT, Unsound
from shopclock.record.file.place import ENDING
from shopclock.shop.values.errors import ShopError


@contextmanager
def damage_told(path: Path) -> Iterator[None]:
    """Raise Unsound in the place of what a record that doesn't hold together makes of rules and figures."""
    try:
        yield
    except DOES_NOT_FIT as error:
        if wrong := _wrong_with(path):
            raise Unsound(path, wrong) from error
        raise


def blamed(error: BaseException, arguments: Iterable[object]) -> BaseException:
    """Return Unsound in the place of an error of work on a record, one of its arguments, that doesn't hold together."""
    if isinstance(error, DOES_NOT_FIT):
        for path in (Path(one) for one in arguments if isinstance(one, str | Path)):
            if path.suffix == ENDING and path.is_file() and (wrong := _wrong_with(path)):
                return Unsound(path, wrong)
    return error


def _wrong_with(path: Path) -> str:
    from shopclock.record.check.check import check  # hardly ever needed, and the window opens without it

    try:
        return next(iter(check(path)), "")
    except ShopError as error:
        return str(error)
