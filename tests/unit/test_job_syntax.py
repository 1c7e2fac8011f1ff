"""Files that are no job files, and TOML that is none: one clear sentence each."""

from __future__ import annotations

from pathlib import Path

import pytest

from curecast.errors import JobError
from curecast.job.reader import lint_lines, parse_job, read_job


def refusal(path: Path) -> JobError:
    with pytest.raises(JobError) as error:
        read_job(path)
    assert error.value.exit_code == 65
    return error.value


def test_no_such_file(tmp_path: Path) -> None:
    error = refusal(tmp_path / "none.toml")
    assert "there is no file" in error.message
    assert "curecast new" in error.hint


def test_a_folder(tmp_path: Path) -> None:
    assert "is a folder" in refusal(tmp_path).message


def test_a_path_that_no_file_can_have() -> None:
    assert "cannot be read" in refusal(Path("a\0b")).message


def test_a_file_under_a_file(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("")
    assert "cannot be read" in refusal(tmp_path / "a" / "b.toml").message


@pytest.mark.parametrize("content", [b"", b"  \n\t\n", b"\xef\xbb\xbf"])
def test_an_empty_file(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "pad.toml"
    path.write_bytes(content)
    assert refusal(path).message == "pad.toml is empty"


def test_a_large_file(tmp_path: Path) -> None:
    path = tmp_path / "pad.toml"
    path.write_bytes(b"# nothing\n" * 1_000_000)
    assert "too large for a job file (9765 KB)" in refusal(path).message


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-32"])
def test_text_in_another_encoding(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "pad.toml"
    path.write_bytes('name = "pad"'.encode(encoding))
    assert "is not plain text in UTF-8" in refusal(path).message


def test_a_letter_that_is_not_utf_8_has_its_line(tmp_path: Path) -> None:
    path = tmp_path / "pad.toml"
    path.write_bytes('curecast = 1\nname = "p"\n[site]\n# 5 °C\n'.encode("latin-1"))
    (problem,) = refusal(path).problems
    assert problem.line == 4


@pytest.mark.parametrize(
    ("text", "line", "key", "hint"),
    [
        ("[slab]\nthickness = 8 in\n", 2, "thickness", 'units: thickness = "8 in"'),
        ("[slab]\n\nthickness = 41F # warm\n", 3, "thickness", 'thickness = "41F"'),
        ("[slab]\nthickness = 5/8 in\n", 2, "thickness", 'thickness = "5/8 in"'),
        ("[slab]\nthickness = 2,4 m\n", 2, "thickness", 'thickness = "2,4 m"'),
        ("units = us\n", 1, "units", 'units = "us"'),
        ("[crew]\nfrom = 8:00\n", 2, "from", 'from = "8:00"'),
        ('[slab]\nthickness = "8""\n', 2, "thickness", "an inch mark ends the text"),
        ('[slab]\nthickness = "8 in\n', 2, "thickness", "a quotation mark is missing"),
        ("[slab]\nthickness = “8 in”\n", 2, "thickness", "straight quotation marks"),
        ("a = 1\n[slab\n", 2, "", ""),
        ("[slab]\n[slab]\n", 2, "", "twice"),
        ("a = 1\na = 2\n", 2, "a", "twice"),
        ("a =\n", 1, "a", "a value is missing"),
        ("a: 1\n", 1, "", "write = between a key and its value"),
    ],
)
def test_a_line_that_is_not_toml(text: str, line: int, key: str, hint: str) -> None:
    with pytest.raises(JobError) as error:
        parse_job(text, "pad.toml")
    (problem,) = error.value.problems
    assert (problem.line, problem.key) == (line, key)
    assert hint.replace("units: ", "unit: ") in problem.hint if hint else problem.hint == ""
    assert lint_lines([problem], "pad.toml")[0].startswith(f"pad.toml:{line}: ")


@pytest.mark.parametrize("text", ["a=" + "[" * 5000, "a=" + "{a=" * 5000, "a=" + "9" * 5000])
def test_absurd_nesting_and_numbers(text: str) -> None:
    with pytest.raises(JobError) as error:
        parse_job(text, "pad.toml")
    assert len(error.value.message) < 100
    assert all(len(p.message) < 120 for p in error.value.problems)
