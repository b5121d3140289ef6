"""What is made when it is first asked for: a start needs few of the tables, and making them all takes a while."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TypeVar

K = TypeVar("K")
V = TypeVar("V")


class OnDemand(Mapping[K, V]):
    """A mapping whose keys are known, and each value made once, of its key, when it is first asked for."""

    def __init__(self, keys: Iterable[K], make: Callable[[K], V]) -> None:
        self._keys = tuple(keys)
        self._make = make
        self._made: dict[K, V] = {}

    def __getitem__(self, key: K) -> V:
        if key not in self._made:
            if key not in self._keys:
                raise KeyError(key)
            self._made[key] = self._make(key)
        return self._made[key]

    def __contains__(self, key: object) -> bool:
        return key in self._keys

    def __iter__(self) -> Iterator[K]:
        return iter(self._keys)

    def __len__(self) -> int:
        return len(self._keys)
