"""Saved presses: a job described once, kept as a small YAML file, offered when the console starts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.casebook import free_path, home, quoted, write
from diagnose.complaint.read import read_complaint
from diagnose.errors import FlawtreeError
from diagnose.screens.journal import Note

FIELDS = ("process", "ink", "substrate", "end_use", "press_speed", "web_width")


@dataclass(frozen=True, slots=True)
class Press:
    """A saved press: its name and the job fields it stands for."""

    name: str
    job: Mapping[str, str]

    @property
    def label(self) -> str:
        """The name with what it prints."""
        told = ", ".join(self.job[field] for field in FIELDS if field in self.job)
        return f"{self.name} ({told})" if told else self.name

    def notes(self) -> tuple[Note, ...]:
        """The job as notes, the press's name last."""
        told = [Note("job", field, self.job[field]) for field in FIELDS if field in self.job]
        return (*told, Note("job", "press", self.name))


def saved() -> tuple[Press, ...]:
    """The saved presses by name; a file that cannot be read is passed over (`diagnose` explains it)."""
    folder = home() / "presses"
    found = []
    for file in sorted(folder.glob("*.yaml")) if folder.is_dir() else []:
        try:
            complaint = read_complaint(file)
        except (FlawtreeError, OSError):
            continue
        job = {field: word.text for field, word in complaint.job.items() if field in FIELDS}
        found.append(Press(complaint.id, job))
    return tuple(found)


def save(name: str, job: Mapping[str, str]) -> None:
    """Save a press; the file has the form of a complaint that says nothing but its job."""
    lines = [f"complaint: {quoted(name)}", "job:"]
    lines += [f"  {field}: {quoted(job[field])}" for field in FIELDS if field in job]
    if len(lines) == 2:
        lines = lines[:1]
    write(free_path(home() / "presses", name), "\n".join(lines) + "\n")
