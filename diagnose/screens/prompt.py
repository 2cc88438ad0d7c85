"""Reading one answer: from the keys of a terminal, or a line from a pipe. The terminal's library loads here.

A question that keys answer takes a single key; words and numbers end with Enter.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Any, TextIO

from diagnose.screens.turns import Turn

if TYPE_CHECKING:
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import CompleteEvent, Completion
    from prompt_toolkit.document import Document
    from prompt_toolkit.key_binding import KeyBindings

Complete = Callable[[str], list[tuple[str, str]]]
Read = Callable[[Turn], str]
"""Asks for one answer; raises EOFError at the end (Ctrl-D) and KeyboardInterrupt when the line is dropped."""
COMMAND_KEYS = "whsbcaoxlk"
MARK = "> "
ENDINGS = {"y": "es", "n": "o"}
TAIL_LETTERS = "eso\r"
TAIL_SECONDS = 0.7
"""Longest pause between two keys of one word."""


def from_pipe(stream: TextIO, out: TextIO) -> Read:
    """Answers from a pipe, one a line; each is shown after the mark, so that the record reads as a talk."""

    def read(_: Turn) -> str:
        line = stream.readline()
        if not line:
            raise EOFError
        said = line.rstrip("\r\n")
        out.write(f"{MARK}{''.join(char if char.isprintable() else '·' for char in said)}\n")
        return said

    return read


def from_keys(complete: Complete, extra_keys: str = "m", **terminal: Any) -> Read:
    """Answers from the keys of a terminal; `terminal` hands prompt_toolkit another input and output."""
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import Completer, Completion, DummyCompleter
    from prompt_toolkit.enums import EditingMode

    class Names(Completer):
        """The names that complete what is typed."""

        def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
            del complete_event  # the library's signature
            typed = document.text_before_cursor
            for name, meta in complete(typed):
                yield Completion(name, start_position=-len(typed), display_meta="" if meta == name else meta)

    tail = Tail()
    session: PromptSession[str] = PromptSession(editing_mode=EditingMode.EMACS, **terminal)
    names = Names()

    def read(turn: Turn) -> str:
        typed = bool(turn.free)
        said = session.prompt(
            MARK,
            # None would keep what the last question had set.
            completer=names if turn.free == "seen" else DummyCompleter(),
            complete_while_typing=turn.free == "seen",
            reserve_space_for_menu=6 if turn.free == "seen" else 0,
            key_bindings=_bindings((), tail) if typed else _bindings(_keys_of(turn, extra_keys), tail),
        )
        if typed:
            tail.clear()
        return said

    return read


class Tail:
    """The rest of a word whose first key was the answer: `no` and Enter must not answer twice."""

    def __init__(self) -> None:
        self._rest = ""
        self._until = 0.0

    def begin(self, key: str) -> None:
        """A key was an answer; the letters that may follow it are not new answers for a moment."""
        self._rest = ENDINGS.get(key.lower(), "") + "\r"
        self._until = time.monotonic() + TAIL_SECONDS

    def clear(self) -> None:
        """A line was ended: nothing is left of any word."""
        self._rest = ""

    def expects(self, key: str) -> bool:
        """Whether a key is the next letter of the word begun, or the Enter after it."""
        from prompt_toolkit.application import get_app

        fresh = not get_app().current_buffer.text
        return fresh and bool(self._rest) and time.monotonic() < self._until and key in (self._rest[0], "\r")

    def take(self, key: str) -> None:
        """The key was part of the word."""
        self._rest = "" if key == "\r" else self._rest[1:]
        self._until = time.monotonic() + TAIL_SECONDS


def _bindings(answers: Iterable[str], tail: Tail) -> KeyBindings:
    """Each key that answers the turn, and each command's key, ends the prompt at once.

    Without such keys the line is typed; then only the rest of the word before it is kept out.
    """
    from prompt_toolkit.filters import Condition
    from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
    from prompt_toolkit.keys import Keys

    bindings = KeyBindings()
    for letter in TAIL_LETTERS:

        @bindings.add(
            "enter" if letter == "\r" else letter, filter=Condition(partial(tail.expects, letter)), eager=True
        )
        def _(event: KeyPressEvent, letter: str = letter) -> None:
            del event  # swallowed
            tail.take(letter)

    def bind(key: Keys | str) -> None:
        @bindings.add(key)
        def _(event: KeyPressEvent) -> None:
            if event.app.current_buffer.text:
                event.app.current_buffer.insert_text(event.data)
            elif not event.app.is_done:
                tail.begin(event.data)
                event.app.exit(result=event.data)

    known = tuple(dict.fromkeys(answers))
    for key in (Keys.Any, *known) if known else ():
        bind(key)
    return bindings


def _keys_of(turn: Turn, extra: str) -> Iterator[str]:
    for choice in turn.choices:
        if len(choice.key) == 1:
            yield choice.key
    yield from COMMAND_KEYS
    yield from extra


def is_terminal() -> bool:
    """Whether a person sits at keys and screen."""
    return sys.stdin is not None and sys.stdin.isatty() and sys.stdout is not None and sys.stdout.isatty()
