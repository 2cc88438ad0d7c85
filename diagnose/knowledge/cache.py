"""Checked knowledge is kept between runs, so that a command starts in milliseconds.

Reading and checking all rules takes some tenths of a second; taking them back from one file takes a
twentieth of that. A kept file is used only for the same texts, read by the same code, and it can bring
back nothing but the plain data classes of the model: any other content is passed over and read anew.
FLAWTREE_CACHE names another folder to keep it in; set to nothing, it turns keeping off.
"""

from __future__ import annotations

import contextlib
import gc
import hashlib
import io
import os
import pickle
import sys
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

from diagnose.errors import Place
from diagnose.knowledge import model
from diagnose.knowledge.lazy import LazyDict

KEPT = 6
"""Files kept at most; the oldest go first."""
_DIGEST = 32
_PACKAGE = Path(__file__).resolve().parent.parent
_CLASSES: list[type] = [Place, *(one for one in vars(model).values() if isinstance(one, type))]
_ALLOWED = {(one.__module__, one.__name__): one for one in _CLASSES if is_dataclass(one)}


_NAMES = {one: tuple(part.name for part in fields(one)) for one in _CLASSES if is_dataclass(one)}


@contextlib.contextmanager
def no_collecting() -> Iterator[None]:
    """Hold the garbage collector: all that is made here stays, and looking through it costs a quarter."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def key_of(root: Path) -> str:
    """A name for the rules of a folder as they are now, and for the code that reads them."""
    digest = hashlib.blake2b(f"{root}|{sys.version_info}".encode("utf-8", "replace"), digest_size=20)
    for entry in _code():
        about = entry.stat()
        digest.update(f"{entry.name}|{about.st_size}|{about.st_mtime_ns}|".encode())
    for path in sorted(root.rglob("*.y*ml")):
        raw = path.read_bytes()
        digest.update(f"{path}|{len(raw)}|".encode("utf-8", "replace"))
        digest.update(raw)
    return digest.hexdigest()


def _code() -> Iterator[os.DirEntry[str]]:
    for folder in (_PACKAGE, _PACKAGE / "knowledge", _PACKAGE / "science"):
        with os.scandir(folder) as entries:
            yield from sorted((one for one in entries if one.name.endswith(".py")), key=lambda one: one.name)


def recall(key: str) -> model.Knowledge | None:
    """The knowledge kept under a key, or None when there is none that can be trusted."""
    folder = _folder()
    if folder is None:
        return None
    try:
        raw = (folder / f"{key}.rules").read_bytes()
    except OSError:
        return None
    body = raw[_DIGEST:]
    if hashlib.blake2b(body, digest_size=_DIGEST).digest() != raw[:_DIGEST]:
        return None
    try:
        with no_collecting():
            return _unpacked(_read(body))
    except Exception:  # noqa: BLE001 - whatever is wrong with a kept file, the rules are read anew
        return None


def keep(key: str, knowledge: model.Knowledge) -> None:
    """Keep knowledge under a key; where nothing can be written, nothing is kept."""
    folder = _folder()
    if folder is None:
        return
    body = pickle.dumps(_packed(knowledge), 5)
    with contextlib.suppress(OSError):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=folder)
        with os.fdopen(handle, "wb") as stream:
            stream.write(hashlib.blake2b(body, digest_size=_DIGEST).digest() + body)
        Path(name).replace(folder / f"{key}.rules")
        _thin_out(folder)


def _packed(knowledge: model.Knowledge) -> dict[str, Any]:
    """Every item of every kind as bytes of its own, so that only those asked for need be brought back."""
    return {
        one.name: {key: _written(item) for key, item in value.items()}
        if isinstance(value := getattr(knowledge, one.name), Mapping)
        else _written(value)
        for one in fields(knowledge)
    }


def _unpacked(packed: Any) -> model.Knowledge | None:
    if not isinstance(packed, dict) or packed.keys() != {one.name for one in fields(model.Knowledge)}:
        return None
    found: dict[str, Any] = {
        name: LazyDict(kept, _read) if isinstance(kept, dict) else _read(kept)
        for name, kept in packed.items()
    }
    return model.Knowledge(**found)


def _read(body: bytes) -> Any:
    return _PlainReader(io.BytesIO(body)).load()


def _thin_out(folder: Path) -> None:
    kept = sorted(folder.glob("*.rules"), key=lambda path: path.stat().st_mtime, reverse=True)
    for path in kept[KEPT:]:
        path.unlink(missing_ok=True)


def _folder() -> Path | None:
    chosen = os.environ.get("FLAWTREE_CACHE")
    if chosen is not None:
        return Path(chosen) if chosen else None
    base = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    try:
        return (Path(base) if base else Path.home() / ".cache") / "flawtree"
    except RuntimeError:
        return None


class _Writer(pickle.Pickler):
    """Writes a data class as a call of it with its fields: far faster to read back than field by field."""

    def reducer_override(self, item: Any) -> Any:
        """The call that makes the item anew; anything but the model's classes is written the usual way."""
        if type(item) in _NAMES:
            return type(item), tuple(getattr(item, name) for name in _NAMES[type(item)])
        return NotImplemented


def _written(item: Any) -> bytes:
    stream = io.BytesIO()
    _Writer(stream, 5).dump(item)
    return stream.getvalue()


class _PlainReader(pickle.Unpickler):
    """Brings back the model's data classes and nothing else."""

    def find_class(self, module: str, name: str) -> type:
        """The class of that name when it is one of the model's."""
        if (module, name) not in _ALLOWED:
            raise pickle.UnpicklingError(f"{module}.{name} is no part of the rules")
        return _ALLOWED[module, name]
