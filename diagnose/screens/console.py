"""`flawtree ask`: one question at a time, every answer on disk before the next; at keys or over a pipe."""

from __future__ import annotations

import contextlib
import os
import shutil
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TextIO

from diagnose import casebook
from diagnose.knowledge.model import Knowledge
from diagnose.screens import journal, presses, prompt, telling
from diagnose.screens.journal import Journal, Note
from diagnose.screens.lines import visible, width, wrapped
from diagnose.screens.naming import completions
from diagnose.screens.prompt import Read
from diagnose.screens.talk import Talk
from diagnose.screens.turns import Choice, Turn

UNUSABLE = 2
NO_TERMINAL = """flawtree ask talks with a person at a terminal, or reads answers from a pipe, one a line:
    printf 'gravure\\nOPP film\\n\\n\\npinholes\\n\\n' | flawtree ask
For a trouble written down already: flawtree diagnose FILE"""
LONG_REPLY = 3
"""Lines of reply from which the step is not shown again above its question."""
WELCOME = "Flawtree. One question at a time; Enter or a key answers. k shows the keys."
KEPT = "Kept. `flawtree ask` goes on from here."


def run(knowledge: Knowledge) -> int:
    """Talk until the trouble is closed or the person leaves; the exit code is 2 when nobody can answer."""
    terminal = prompt.is_terminal()
    if terminal:
        read = prompt.from_keys(lambda typed: completions(knowledge, typed))
        return Console(knowledge, read, sys.stdout, paged=True).run()
    if sys.stdin is None or sys.stdin.isatty():
        print(NO_TERMINAL, file=sys.stderr)
        return UNUSABLE
    return Console(knowledge, prompt.from_pipe(sys.stdin, sys.stdout), sys.stdout).run()


class Console:
    """Joins a talk, its record on disk, a way to read an answer and a place to show the next question."""

    def __init__(self, knowledge: Knowledge, read: Read, out: TextIO, paged: bool = False) -> None:
        self.knowledge = knowledge
        self.out = out
        self.paged = paged
        self._read = read
        self._rest: list[str] = []
        self._heard = False

    def run(self) -> int:
        """The whole talk. Ctrl-C drops the line, Ctrl-D and the end of a pipe leave with the record kept."""
        try:
            book, notes = self._opened()
        except EOFError:
            return self._nobody()
        with contextlib.closing(book):
            return self._talked(Talk(self.knowledge, book.keep, notes, presses.saved()), book)

    def _talked(self, talk: Talk, book: Journal) -> int:
        begun = bool(talk.record.notes)
        try:
            while not talk.done and not talk.leaving:
                self._once(talk)
        except EOFError:
            if not self._heard and not begun:
                book.close()
                book.path.unlink(missing_ok=True)
                return self._nobody()
        self._end(talk, book)
        return 0

    def _once(self, talk: Talk) -> None:
        turn = talk.turn()
        self._show(talk, turn)
        try:
            said = self._read(turn)
        except KeyboardInterrupt:
            talk.reply = ("Dropped. Ctrl-D or l leaves; all is kept.",)
            return
        self._heard = True
        if said.strip().lower() == "m" and self._rest:
            return
        self._rest = []
        before = talk.record.job.get("press")
        talk.hear(said)
        self._save_press(talk, before)

    def _save_press(self, talk: Talk, before: str | None) -> None:
        name = talk.record.job.get("press")
        if name and name != before and all(press.name != name for press in talk.presses):
            presses.save(name, talk.record.job)

    def _opened(self) -> tuple[Journal, tuple[Note, ...]]:
        """A new record, or the one left open last if the person wants to go on with it."""
        for path in journal.left_open()[:1]:
            if self._wants(path) and (book := journal.resume(path)):
                return book, journal.read(path)
        return journal.begin(), ()

    def _wants(self, path: Path) -> bool:
        notes = journal.read(path)
        record = Talk(self.knowledge, lambda _: None, notes).record
        seen = [
            self.knowledge.defects[id_].title for id_ in record.items("seen") if id_ in self.knowledge.defects
        ]
        when = notes[0].at.replace("T", " ")[:16]
        what = f"{', '.join(seen)} {record.job.get('press', '')}".strip()
        question = f"Go on with {what}, begun {when}, {len(record.of('answer'))} answers?"
        keys = (Choice("1", "go on"), Choice("2", "a new trouble; that one stays kept"))
        turn = Turn("go on", question, (), keys, enter="1")
        while True:
            self._print(_screen(turn, (), ""))
            try:
                said = self._read(turn).strip().lower()
            except KeyboardInterrupt:
                continue
            self._heard = True
            if said in ("", "1", "2", "y", "n", "yes", "no"):
                return said not in ("2", "n", "no")

    def _show(self, talk: Talk, turn: Turn) -> None:
        lines = self._rest or _screen(turn, talk.reply, _head(talk))
        rows = shutil.get_terminal_size((80, 24)).lines - 2
        if self.paged:
            self.out.write("\x1b[2J\x1b[H" if _can_clear() else "\n")
        if self.paged and len(lines) > rows:
            tail = _foot(turn)
            room = max(3, rows - len(tail) - 1)
            body = lines[: len(lines) - len(tail)]
            if len(body) > room:
                self._rest = [*body[room:], *tail]
                lines = [*body[:room], "    … m shows the rest", *tail]
            else:
                self._rest = []
        else:
            self._rest = []
        self._print(lines)

    def _print(self, lines: Iterable[str]) -> None:
        self.out.write("\n".join(visible(line) for line in lines) + "\n")
        self.out.flush()

    def _end(self, talk: Talk, book: Journal) -> None:
        if not talk.done:
            book.close()
            self._print([KEPT])
            return
        causes = [note.item for note in talk.record.of("confirmed") if note.item in self.knowledge.causes]
        told = telling.told_story(self.knowledge, talk.record)
        path = casebook.close(self.knowledge, talk.session.understood, told, causes)
        book.close(done=True)
        self._print(["Closed.", f"Case: {path}"])

    def _nobody(self) -> int:
        print(NO_TERMINAL, file=sys.stderr)
        return UNUSABLE


def _head(talk: Talk) -> str:
    """The top line: the trouble and how far it is."""
    record = talk.record
    seen = [
        talk.knowledge.defects[id_].title for id_ in record.items("seen") if id_ in talk.knowledge.defects
    ]
    if not seen:
        return WELCOME
    parts = [", ".join(seen), record.job.get("press", ""), record.job.get("substrate", "")]
    count = len(record.of("answer"))
    return " · ".join(part for part in (*parts, f"{count} answers" if count != 1 else "1 answer") if part)


def _screen(turn: Turn, reply: tuple[str, ...], head: str) -> list[str]:
    """A turn as lines: head, reply to what was said, what to do, the question, the keys."""
    lines = [head[: width()], "-" * min(width(), 78)] if head else []
    for text in reply:
        lines += _line(text)
    if reply:
        lines.append("")
    if turn.body and len(reply) < LONG_REPLY:
        lines += [*turn.body, ""]
    return lines + _foot(turn)


def _packed(texts: list[str]) -> list[str]:
    """Keys side by side, none torn between lines."""
    lines = [" "]
    for text in texts:
        if len(lines[-1]) + len(text) + 3 > width() and lines[-1].strip():
            lines.append(" ")
        lines[-1] += f" {text}  "
    return [line.rstrip() for line in lines]


def _line(text: str) -> list[str]:
    return [text] if len(text) <= width() else list(wrapped(text, "", "  "))


def _foot(turn: Turn) -> list[str]:
    """The question and its keys."""
    lines = [*wrapped(turn.question, "", "")]
    named = [choice for choice in turn.choices if choice.key or choice.label]
    shown = [f"{choice.key or 'Enter'} {choice.label}" for choice in named]
    if all(len(choice.label) <= 16 for choice in named) and len(named) > 1:
        lines += _packed(shown)
    else:
        for choice, text in zip(named, shown, strict=True):
            mark = " (Enter)" if choice.key and choice.key == turn.enter else ""
            lines += wrapped(text + mark, "  ", "     ")
    asked = "w why  h how  s so far  b back  c correct  a also  o hand over  l leave"
    return [*lines, f"  [{asked}]"]


def _can_clear() -> bool:
    return os.environ.get("TERM", "dumb") != "dumb" and sys.stdout.isatty()
