"""Route files: from a TOML file that a maker can write to a checked route."""

import re
import tomllib
from pathlib import Path

from shopclock.shop.errors import ShopError
from shopclock.shop.route import Route
from shopclock.shop.route_check import check_route
from shopclock.shop.route_fault import RouteFault
from shopclock.shop.route_lines import line_of
from shopclock.shop.route_parts import route_of
from shopclock.shop.route_table import Table


class RouteFileError(ShopError):
    """A route file that can't be used: file, line, what is wrong and what was expected."""

    def __init__(self, file: str, line: int | None, said: str) -> None:
        super().__init__(f"{file}: {said}" if line is None else f"{file}, line {line}: {said}")
        self.file = file
        self.line = line


def starter_routes(folder: Path) -> tuple[Route, ...]:
    """Return every route of a folder, in the order of their file names."""
    if not folder.is_dir():
        raise RouteFileError(str(folder), None, "there is no such folder; expected route files.")
    return tuple(load_route(path) for path in sorted(folder.glob("*.toml")))


def load_route(path: Path) -> Route:
    """Return the route in a file. Raises RouteFileError, one sentence, for whatever is wrong."""
    return read_route(_decoded(_bytes(path), str(path)), str(path))


def read_route(text: str, name: str) -> Route:
    """Return the route that a text tells; `name` is what errors call the file."""
    try:
        route = route_of(Table(_parsed(text, name)))
        check_route(route)
    except RouteFault as fault:
        raise RouteFileError(name, line_of(text, fault.place, fault.key), str(fault)) from None
    return route


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        said = "there is no such file; expected a route file (.toml)."
    except IsADirectoryError:
        said = "this is a folder; expected a route file (.toml)."
    except OSError as error:
        said = f"it can not be read ({error.strerror}); expected a file that is yours to read."
    raise RouteFileError(str(path), None, said)


def _decoded(data: bytes, name: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        said = "this is not UTF-8 text; expected a file saved as UTF-8."
        raise RouteFileError(name, line, said) from None


def _parsed(text: str, name: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RouteFileError(name, *_syntax(str(error), text)) from None
    except (ValueError, RecursionError):
        said = "a number is too long or brackets stand too deep; expected short values."
        raise RouteFileError(name, None, said) from None


def _syntax(message: str, text: str) -> tuple[int, str]:
    """Return line and sentence of what the TOML reader can't read; only its line is used."""
    match = re.search(r"\(at line (\d+)", message)
    line = int(match[1]) if match else max(text.count("\n", 0, len(text.rstrip())) + 1, 1)
    if "overwrite" in message or "twice" in message:
        return line, "this stands here for the second time; expected each key once in its table."
    return line, 'this can not be read; expected key = value, with texts in "quotes".'
