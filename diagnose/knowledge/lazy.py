"""A mapping whose items are kept as bytes and brought back when asked for: few are, in one diagnosis."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any


class LazyDict(dict[str, Any]):
    """A dictionary that unpacks an item when it is first read; equal to the plain one of the same items."""

    def __init__(self, packed: Mapping[str, bytes], unpack: Callable[[bytes], Any]) -> None:
        super().__init__()
        self._packed = packed
        self._unpack = unpack

    def __missing__(self, key: str) -> Any:
        item = self._unpack(self._packed[key])
        self[key] = item
        return item

    def get(self, key: str, default: Any = None) -> Any:
        """The item, or the default where there is none."""
        return self[key] if key in self._packed else default

    def __contains__(self, key: object) -> bool:
        return key in self._packed

    def __iter__(self) -> Iterator[str]:
        return iter(self._packed)

    def __len__(self) -> int:
        return len(self._packed)

    def keys(self) -> Any:
        """The keys, nothing unpacked."""
        return self._packed.keys()

    def values(self) -> Any:
        """All items, unpacked."""
        return self._whole().values()

    def items(self) -> Any:
        """All keys and items, unpacked."""
        return self._whole().items()

    def __eq__(self, other: object) -> bool:
        return self._whole() == (other._whole() if isinstance(other, LazyDict) else other)

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __reduce__(self) -> tuple[type, tuple[dict[str, Any]]]:
        return dict, (self._whole(),)

    def _whole(self) -> dict[str, Any]:
        return {key: self[key] for key in self._packed}
