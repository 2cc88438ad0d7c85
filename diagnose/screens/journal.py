"""What was said at the press, on disk before the next question: one line a note, synced, never rewritten.

The record of a trouble under way is a file of JSON lines under `FLAWTREE_HOME` (else the XDG data home). A
line cut short by a crash is left out when it is read again; everything before it holds.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from io import TextIOWrapper
from pathlib import Path
from typing import Any

from diagnose.casebook import home

KINDS = (
    "job", "seen", "not_seen", "said", "seen_all", "answer", "begun", "tried", "skipped", "confirmed",
    "back", "resolved", "closed", "told", "measured", "ruled_out", "before",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Note:
    """One thing that was said: what it does, about which item, the value, and when (local time).

    Notes of one answer share their `turn`; they are taken back together.
    """

    do: str
    item: str = ""
    value: str = ""
    at: str = ""
    turn: int = 0


def now() -> str:
    """The local time as the record keeps it."""
    return datetime.now().isoformat(timespec="seconds")


class Journal:
    """The open record of one trouble; `keep` returns only when the note is on the disk."""

    def __init__(self, path: Path, fresh: bool = True) -> None:
        self.path = path
        path.parent.mkdir(parents=True, exist_ok=True)
        self._file: TextIOWrapper = path.open("x" if fresh else "a", encoding="utf-8", newline="\n")
        self.alone = _locked(self._file)
        if fresh:
            _sync_folder(path.parent)
        elif not _ends_whole(path):
            self._file.write("\n")

    def keep(self, note: Note) -> None:
        """Write a note and wait until the disk has it."""
        self._file.write(json.dumps(asdict(note), ensure_ascii=False) + "\n")
        self._file.flush()
        os.fsync(self._file.fileno())

    def close(self, done: bool = False) -> None:
        """Let go of the record; a trouble that is done is moved aside, so that it is not offered again."""
        self._file.close()
        if done and self.path.exists():
            target = home() / "done" / self.path.name
            target.parent.mkdir(parents=True, exist_ok=True)
            self.path.replace(target)


def begin() -> Journal:
    """The record of a new trouble."""
    stamp = datetime.now().strftime("%Y%m%d-%H%M%S")
    for number in range(1000):
        path = home() / "open" / f"{stamp}-{os.getpid()}-{number:03d}.jsonl"
        if not path.exists():
            return Journal(path)
    raise OSError(f"no free name for a record in {home() / 'open'}")


def resume(path: Path) -> Journal | None:
    """The record of a trouble left open, or None when another console holds it."""
    journal = Journal(path, fresh=False)
    if journal.alone:
        return journal
    journal.close()
    return None


def left_open() -> list[Path]:
    """Records of troubles that were not closed and that say what was seen, the newest first."""
    folder = home() / "open"
    found = sorted(folder.glob("*.jsonl"), reverse=True) if folder.is_dir() else []
    return [path for path in found if any(note.do == "seen" for note in read(path))]


def read(path: Path) -> tuple[Note, ...]:
    """The notes of a record; lines that are cut short or not ours are left out."""
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ()
    return tuple(_notes(text))


def _notes(text: str) -> Iterator[Note]:
    for line in text.split("\n"):
        try:
            raw: Any = json.loads(line)
        except (ValueError, RecursionError):
            continue
        if isinstance(raw, dict) and raw.get("do") in KINDS:
            turn = raw.get("turn")
            texts = (str(raw.get(name, "")) for name in ("do", "item", "value", "at"))
            do, item, value, at = texts
            yield Note(do, item, value, at, turn if isinstance(turn, int) else 0)


def folded(notes: tuple[Note, ...]) -> tuple[Note, ...]:
    """The notes that still hold: each `back` takes the answer before it away, with all its notes."""
    kept: list[Note] = []
    for note in notes:
        if note.do == "back":
            last = kept[-1].turn if kept else None
            while kept and kept[-1].turn == last:
                kept.pop()
        else:
            kept.append(note)
    return tuple(kept)


def _ends_whole(path: Path) -> bool:
    with path.open("rb") as file:
        if not file.seek(0, os.SEEK_END):
            return True
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"


def _sync_folder(folder: Path) -> None:
    """Make a new file's name last as well as its content; not every system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)


def _locked(file: TextIOWrapper) -> bool:
    """Take the record for this console alone; False when another one holds it."""
    try:
        import fcntl
    except ImportError:
        return True
    try:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
