"""The report: one page that needs no other file and lets no text from outside act."""

from __future__ import annotations

import re

import jinja2
import pytest

from diagnose.screens import report
from diagnose.screens.report import to_html
from tests.press import answer
from tests.screens.test_text import WHOLE

EVIL = "<script>alert(1)</script>"


def test_text_from_outside_is_escaped() -> None:
    body = (
        f"story: '{EVIL}'\n"
        f"not_seen: ['{EVIL}']\n"
        f"ruled_out: ['pump ({EVIL})']\n"
        "measured:\n"
        f"  - {{quantity: pH, value: 8, where: '{EVIL}', method: '{EVIL}'}}\n"
        f"  - {{quantity: '{EVIL}', value: 8}}\n"
    )
    page = to_html(answer(body, job=f"{{process: gravure, plant: '{EVIL}'}}"))
    assert "<script" not in page
    assert page.count("&lt;script&gt;alert(1)") >= 5


def test_an_id_cannot_break_out_of_the_title() -> None:
    from diagnose.complaint.read import parse_complaint
    from diagnose.diagnosis import diagnose
    from tests.press import press

    read = parse_complaint("complaint: '</title><img src=x onerror=y>'\nseen: [pinholes]\n", "k.yaml")
    assert "<img" not in to_html(diagnose(press(), read))


def test_the_page_needs_nothing_from_elsewhere() -> None:
    page = to_html(answer(WHOLE))
    assert not re.search(r"(?:src|href|url)\s*[=(]", page)
    assert "http" not in re.sub(r"<html[^>]*>", "", page)


def test_a_missing_name_in_the_template_is_an_error() -> None:
    environment = report._template().environment
    assert environment.undefined is jinja2.StrictUndefined
    with pytest.raises(jinja2.UndefinedError):
        environment.from_string("{{ nowhere }}").render()


@pytest.mark.parametrize(
    "said",
    ["Likeliest", "7.9", "splonk factor", "gremlins", "Read the safety data sheet", "no foam in the pan"],
)
def test_the_page_says(said: str) -> None:
    assert said.lower() in to_html(answer(WHOLE)).lower()


def test_the_page_is_well_formed() -> None:
    from html.parser import HTMLParser

    open_tags: list[str] = []

    class Balance(HTMLParser):
        def handle_starttag(self, tag: str, attrs: object) -> None:
            if tag not in ("meta", "br"):
                open_tags.append(tag)

        def handle_endtag(self, tag: str) -> None:
            assert open_tags.pop() == tag

    Balance().feed(to_html(answer(WHOLE)))
    assert open_tags == []
