"""The command line: exit codes, where text goes, and that no input ends in a traceback."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from diagnose import cli
from diagnose.errors import FlawtreeError
from tests.press import RULES

GOOD = "complaint: K-1\nseen: [pinholes]\nmeasured: [{quantity: pH, value: 7.8}]\n"
HALF = GOOD + "ruled_out: [gremlins]\n"
BAD = "complaint: K-2\nseeen: [pinholes]\n"


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of `flawtree --rules … ARGUMENTS`."""
    with pytest.raises(SystemExit) as left:
        cli.main(["--rules", str(RULES), *arguments])
    out, err = capsys.readouterr()
    assert "Traceback" not in err
    return int(left.value.code or 0), out, err


@pytest.fixture
def files(tmp_path: Path) -> Path:
    (tmp_path / "good.yaml").write_text(GOOD)
    (tmp_path / "half.yaml").write_text(HALF)
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "more.yml").write_text("complaint: K-3\nseen: craters\n")
    return tmp_path


def test_a_good_complaint(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    code, out, err = run(capsys, "diagnose", str(files / "good.yaml"))
    assert (code, err) == (0, "")
    assert "LIKELIEST CAUSES" in out


def test_a_bad_complaint_is_told_on_stderr_with_its_place(
    capsys: pytest.CaptureFixture[str], files: Path
) -> None:
    file = files / "bad.yaml"
    file.write_text(BAD)
    code, out, err = run(capsys, "diagnose", str(file))
    assert (code, out) == (2, "")
    assert f"{file}:2:1: unknown key `seeen`" in err
    assert "^^^^^" in err


def test_no_such_file(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    code, _, err = run(capsys, "diagnose", str(files / "nowhere.yaml"))
    assert code == 2
    assert "nowhere.yaml" in err


def test_nothing_understood_is_exit_2(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    (files / "odd.yaml").write_text("seen: [splonks]\n")
    code, out, err = run(capsys, "diagnose", str(files / "odd.yaml"))
    assert (code, out) == (2, "")
    assert "no defect is understood" in err
    assert "Nearest" in err


def test_strict_is_exit_2_but_the_answer_is_given(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    assert run(capsys, "diagnose", str(files / "half.yaml"))[0] == 0
    assert run(capsys, "diagnose", "--strict", str(files / "good.yaml"))[0] == 0
    code, out, err = run(capsys, "diagnose", "--strict", str(files / "half.yaml"))
    assert code == 2
    assert "LIKELIEST CAUSES" in out
    assert "gremlins" in err


def test_json_of_one_and_of_a_folder(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    code, out, _ = run(capsys, "diagnose", "--format", "json", str(files / "good.yaml"))
    assert (code, json.loads(out)["complaint"]) == (0, "K-1")
    code, out, _ = run(capsys, "diagnose", "--format", "json", str(files))
    assert code == 0
    assert [json.loads(line)["complaint"] for line in out.splitlines()] == ["K-1", "K-1", "K-3"]


def test_one_bad_file_in_a_folder_spoils_no_other(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    (files / "a_bad.yaml").write_text(BAD)
    (files / "b_binary.yaml").write_bytes(b"\x00\xff\xfe\x80")
    code, out, err = run(capsys, "diagnose", "--format", "json", str(files))
    assert code == 2
    assert len(out.splitlines()) == 3
    assert "a_bad.yaml:2:1" in err
    assert "b_binary.yaml" in err


@pytest.mark.parametrize("form", ["text", "json", "html"])
def test_out_to_a_file(capsys: pytest.CaptureFixture[str], files: Path, form: str) -> None:
    target = files / "answer.out"
    for _ in range(2):
        code, out, _ = run(
            capsys, "diagnose", "--format", form, "--out", str(target), str(files / "good.yaml")
        )
        assert (code, out) == (0, "")
    text = target.read_text(encoding="utf-8")
    assert text.count("K-1") >= 1
    assert form != "json" or json.loads(text)["flawtree"] == 1


def test_out_of_several(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    lines = files / "answers.jsonl"
    code, _, _ = run(
        capsys, "diagnose", "--format", "json", "--out", str(lines), str(files / "sub"), str(files)
    )
    assert code == 0
    assert len(lines.read_text(encoding="utf-8").splitlines()) == 4
    pages = files / "pages"
    assert run(capsys, "diagnose", "--format", "html", "--out", str(pages), str(files / "sub"))[0] == 0
    assert [page.name for page in pages.iterdir()] == ["more.html"]


def test_two_files_of_one_name_both_keep_their_page(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    (files / "sub" / "good.yaml").write_text("complaint: K-4\nseen: craters\n")
    pages = files / "pages"
    assert run(capsys, "diagnose", "--format", "html", "--out", str(pages), str(files))[0] == 0
    texts = [page.read_text(encoding="utf-8") for page in pages.rglob("*.html")]
    assert sum("K-4" in text for text in texts) == 1
    assert len(texts) == 4


def test_out_where_nothing_can_be_written(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    code, _, err = run(
        capsys, "diagnose", "--out", str(files / "no" / "such" / "folder.txt"), str(files / "good.yaml")
    )
    assert code == 2
    assert "folder.txt" in err


def test_an_empty_folder_says_so(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, out, err = run(capsys, "diagnose", str(tmp_path))
    assert (code, out) == (2, "")
    assert str(tmp_path) in err


@pytest.mark.parametrize(
    "arguments",
    [
        ("diagnose",),
        ("diagnose", "--format", "xml", "x.yaml"),
        ("show",),
        ("show", "splonk"),
        ("show", ""),
        ("sum", "splonk"),
        ("sum", "wetting_margin", "x"),
        ("sum", "wetting_margin", "film_surface_energy=\x00"),
        ("splonk",),
        ("--rules", "/nowhere", "show", "pinholes"),
    ],
)
def test_wrong_use_is_exit_2_on_stderr(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]
) -> None:
    code, out, err = run(capsys, *arguments)
    assert (code, out) == (2, "")
    assert err


@pytest.mark.parametrize(
    "arguments", [("--help",), ("diagnose", "-h"), ("--version",), ("sum",), ("show", "pH")]
)
def test_help_and_pages_are_exit_0(capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]) -> None:
    code, out, _ = run(capsys, *arguments)
    assert code == 0
    assert out


def test_review_is_exit_1_with_faults(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    (tmp_path / "rules").mkdir()
    for file in RULES.rglob("*.yaml"):
        text = file.read_text().replace("frequency: rare\n", "frequency: rarre\n")
        (tmp_path / "rules" / file.name).write_text(text)
    with pytest.raises(SystemExit) as left:
        cli.main(["--rules", str(tmp_path / "rules"), "review"])
    out, _ = capsys.readouterr()
    assert left.value.code == 1
    assert "rarre" in out
    assert "Nearest: rare" in out


def test_rules_with_faults_cannot_diagnose(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, files: Path
) -> None:
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "a.yaml").write_text("kind: causse\n")
    with pytest.raises(SystemExit) as left:
        cli.main(["--rules", str(tmp_path / "rules"), "diagnose", str(files / "good.yaml")])
    _, err = capsys.readouterr()
    assert left.value.code == 2
    assert "a.yaml:1" in err


def test_an_interrupt_is_130(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    from diagnose.screens import sums

    def stop(*_: object) -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr(sums, "sum_text", stop)
    assert run(capsys, "sum")[0] == 130


def test_debug_shows_the_traceback() -> None:
    with pytest.raises(FlawtreeError):
        cli.main(["--debug", "--rules", str(RULES), "show", "splonk"])


def start(*arguments: str, **more: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "diagnose", "--rules", str(RULES), *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, **more},
        cwd=Path(__file__).parent.parent,
    )


def test_a_reader_that_goes_away_is_no_error(files: Path) -> None:
    for number in range(40):
        (files / f"more_{number}.yaml").write_text(GOOD)
    process = start("diagnose", "--full", str(files))
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.read(10)
    process.stdout.close()
    err = process.stderr.read().decode()
    process.stderr.close()
    assert process.wait(60) == 0
    assert "Traceback" not in err
    assert "BrokenPipe" not in err


def test_text_is_utf8_and_plain_in_a_pipe_whatever_the_locale(files: Path) -> None:
    process = start(
        "diagnose", str(files / "good.yaml"), LC_ALL="C", PYTHONUTF8="0", PYTHONIOENCODING="ascii"
    )
    out, err = process.communicate(timeout=60)
    assert (process.returncode, err) == (0, b"")
    assert b"\x1b" not in out
    assert b"LIKELIEST" in out


def test_series_recipe_and_repeat_run_and_refuse(capsys: pytest.CaptureFixture[str], files: Path) -> None:
    (files / "run.csv").write_text("h,pH\n0,9\n1,8.9\n2,8.8\n3,8.7\n")
    code, out, err = run(capsys, "series", str(files / "run.csv"), "--low", "8.5", "--high", "9.2")
    assert (code, err) == (0, "")
    assert "pH falling 0.1 per hour" in out
    (files / "ink.yaml").write_text(GOOD + "recipe: [{ingredient: water, share: 100}]\n")
    code, out, err = run(capsys, "recipe", str(files / "ink.yaml"), "--kg", "20", "--format", "json")
    assert (code, err) == (0, "")
    assert json.loads(out)["batch_card"] == [{"name": "water", "kg": 20.0, "scale_kg": 20.0}]
    code, out, err = run(capsys, "repeat", "471", "--rollers", "nip=470")
    assert (code, err) == (0, "")
    assert "once a turn" in out
    for bad in (
        ["series", "nowhere.csv"],
        ["recipe", str(files / "good.yaml")],
        ["repeat", "far", "--rollers", "a=1"],
    ):
        code, out, err = run(capsys, *bad)
        assert (code, out) == (2, "")
        assert err


def test_show_gives_the_page_of_a_sum(capsys: pytest.CaptureFixture[str]) -> None:
    shown = run(capsys, "show", "speed_after_water")
    explained = run(capsys, "sum", "speed_after_water")
    assert shown == explained
    assert "Formula" in shown[1]
