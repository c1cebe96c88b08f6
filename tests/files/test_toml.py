"""Files that are no TOML, no text, or no files."""

from pathlib import Path

import pytest

from tests.files.support import problems
from voyager.files.toml import dotted, parse_toml, read_toml


def said(path: Path, content: bytes) -> tuple[int, str]:
    path.write_bytes(content)
    (problem,) = problems(lambda: read_toml(path))
    assert problem.file == str(path)
    return problem.line, problem.text


@pytest.mark.parametrize(
    ("content", "line", "part"),
    [
        (b"a = 1\nb = \n", 2, "line 2, column 5"),
        (b"a = 1\n\nb == 2\n", 3, "line 3, column 4"),
        (b"[a]\nb = 1\n[a]\n", 3, "not TOML"),
        (b"a = \"\x1b[31m\"\n", 1, "\\x1b"),
        (b"a = 1\nb = 2027-03-01x\n", 2, "not TOML"),
        (b"a = 1\nb = \"caf\xe9\"\n", 2, "byte 14 is 0xe9"),
        (b"\xef\xbb\xbfa = \"\xff\"\n", 1, "byte 8 is 0xff"),
        ("a = 1".encode("utf-16"), 1, "UTF-16"),
        (b"", 1, "is empty"),
        (b"\xef\xbb\xbf \n# only a word\n", 1, "is empty"),
        (b"a = " + b"[" * 5000, 1, "nested too deep"),
        (b"a = " + b"1" * 5000, 1, "far too long"),
        (b"a = 1\x00\n", 1, "not TOML"),
    ],
)  # fmt: skip
def test_one_sentence_says_why_a_file_cannot_be_read(tmp_path: Path, content: bytes, line: int, part: str) -> None:
    where, text = said(tmp_path / "x.toml", content)
    assert (where, part in text) == (line, True), text
    assert text.isprintable()


@pytest.mark.parametrize(
    ("path", "part"),
    [("no such\x1b.toml", "no such file"), (".", "is a directory"), ("/dev/null", "not an ordinary file"),
     ("a\0b", "cannot be read"), ("x" * 5000, "cannot be read"), ("__init__.py/x", "")],
)  # fmt: skip
def test_what_is_no_file_is_said_so(path: str, part: str) -> None:
    (problem,) = problems(lambda: read_toml(path))
    assert part in problem.text
    assert str(problem).isprintable()


def test_a_byte_order_mark_and_other_line_ends_are_taken(tmp_path: Path) -> None:
    (tmp_path / "x.toml").write_bytes(b"\xef\xbb\xbfa = 1\r\n[b]\r\nc = 2\r\n")
    document = read_toml(tmp_path / "x.toml")
    assert document.data == {"a": 1, "b": {"c": 2}}
    assert document.positions[("b", "c")] == (3, 1)


def test_dates_that_do_not_exist_are_all_named_and_the_rest_is_read() -> None:
    text = (
        'a = 2027-02-30\nb = [[2027-13-01, 2027-03-01], [2027-03-01, 2027-4-31]] # 2027-02-31\n[c]\nd = "2027-02-30"\n'
    )
    document = parse_toml(text, "f.toml")
    said = {path: (problem.line, problem.key) for path, problem in document.bad.items()}
    assert said == {("a",): (1, "a"), ("b", 0, 0): (2, "b[1][1]"), ("b", 1, 1): (2, "b[2][2]")}
    assert "2027-02-28" in document.bad[("a",)].text
    assert "there is no date 2027-13-01" in document.bad[("b", 0, 0)].text
    assert "2027-04-30" in document.bad[("b", 1, 1)].text


def test_a_date_in_an_instant_that_does_not_exist_is_named() -> None:
    document = parse_toml("a = 2027-02-29T05:40:00Z\n", "f.toml")
    assert "there is no date 2027-02-29" in document.bad[("a",)].text


def test_a_bad_date_before_broken_toml_is_told_too() -> None:
    found = problems(lambda: parse_toml("a = 2027-02-30\nb = = 2\n", "f.toml"))
    assert [problem.line for problem in found] == [1, 2]


def test_paths_are_printed_with_rows_from_one() -> None:
    assert dotted(("leg", 2, "via", 0, 1)) == "leg[3].via[1][2]"
