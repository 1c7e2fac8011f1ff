"""On which line of a TOML text each key stands."""

from __future__ import annotations

from curecast.job.lines import key_lines

TEXT = '''# a comment with [brackets] and = signs
curecast = 1   # = 2
name = "a # b"

[site]
"place" = '44.1, -69.1'  # [not a table]
note = """
[slab]
length = "8 ft"
"""
deep.er = 1

[slab]
corner_depths = [
  "5 in",  # one
  "6 in",
  '7" and more',
]
empty = []

[[cover]]
r = "R3 US"

  [[cover]]
  r = "R2 US"
  inline = { a = 1, b.c = "}", d = { e = [1, 2] } }

[hold.full-torque]
reason = "ours"
'''


def test_lines() -> None:
    lines = key_lines(TEXT)
    rows = TEXT.splitlines()

    def row(*path: str | int) -> str:
        return rows[lines[path] - 1].strip()

    assert row("curecast") == "curecast = 1   # = 2"
    assert row("name") == 'name = "a # b"'
    assert row("site") == "[site]"
    assert row("site", "place").startswith('"place"')
    assert row("site", "note") == 'note = """'
    assert row("site", "deep", "er") == "deep.er = 1"
    assert lines["slab",] == 13
    assert row("slab", "corner_depths", 1) == '"6 in",'
    assert row("slab", "corner_depths", 2).startswith("'7")
    assert row("slab", "empty") == "empty = []"
    assert row("cover", 0, "r") == 'r = "R3 US"'
    assert row("cover", 1, "r") == 'r = "R2 US"'
    assert row("cover", 1, "inline", "d", "e").startswith("inline")
    assert row("hold", "full-torque") == "[hold.full-torque]"
    assert row("hold", "full-torque", "reason").startswith("reason")


def test_line_ends_of_windows() -> None:
    assert key_lines("a = 1\r\n\r\nb = 2\r\n") == {("a",): 1, ("b",): 3}


def test_tables_inside_arrays_of_tables() -> None:
    text = "[[a]]\nx = 1\n[a.b]\ny = 2\n[[a]]\n[a.b]\ny = 3\n"
    lines = key_lines(text)
    assert lines["a", 0, "b", "y"] == 4
    assert lines["a", 1, "b", "y"] == 7


def test_a_text_that_is_no_toml_does_no_harm() -> None:
    for text in ("[", "[[", "a", "a =", "a = [", "a = {", '"', "'''", "= 1", "]", "a = [1, [2"):
        assert isinstance(key_lines(text), dict)
