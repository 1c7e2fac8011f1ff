"""Docstrings tell the truth: every name in the signature, every number with its unit."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "curecast"
SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}$", re.MULTILINE)
UNIT = re.compile(r"\[[^\]]+\]")
NUMERIC = re.compile(r"\b(float|int|ndarray|Array|NDArray)\b")

Named = ast.FunctionDef | ast.ClassDef


def modules(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*.py"))


def public(path: Path) -> Iterator[Named]:
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
            yield node


def annotated(node: Named) -> dict[str, str]:
    """Each parameter (or field of a dataclass) and its type as written."""
    if isinstance(node, ast.ClassDef):
        fields = [item for item in node.body if isinstance(item, ast.AnnAssign)]
        pairs = {ast.unparse(item.target): ast.unparse(item.annotation) for item in fields}
        pairs = {k: v for k, v in pairs.items() if not k.startswith("_") and "ClassVar" not in v}
        makers = [i for i in node.body if isinstance(i, ast.FunctionDef) and i.name == "__init__"]
        return pairs | (annotated(makers[0]) if makers else {})
    spec = node.args
    given = [*spec.posonlyargs, *spec.args, *spec.kwonlyargs]
    return {
        arg.arg: ast.unparse(arg.annotation) if arg.annotation else ""
        for arg in given
        if arg.arg not in ("self", "cls")
    }


def sections(docstring: str) -> dict[str, str]:
    """The numpydoc sections of a docstring, by name."""
    parts = SECTION.split(docstring)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def entries(body: str) -> dict[str, str]:
    """``name : type`` lines of a section, each with all that is said about it."""
    found: dict[str, str] = {}
    names: list[str] = []
    for line in body.strip("\n").splitlines():
        if line and not line[0].isspace():
            head, _, kind = line.partition(" : ")
            names = [name.strip().lstrip("*") for name in head.split(",")] if kind else [line]
            found |= dict.fromkeys(names, kind)
        else:
            for name in names:
                found[name] += f"\n{line.strip()}"
    return found


def faults(node: Named) -> list[str]:
    docstring = ast.get_docstring(node) or ""
    if not docstring:
        return [f"{node.name}: no docstring"]
    told = sections(docstring)
    parameters = entries(told.get("Parameters", "") + told.get("Attributes", ""))
    real = annotated(node)
    out = [f"{node.name}: {name} is not documented" for name in real if name not in parameters]
    starred = [a.arg for a in (node.args.vararg, node.args.kwarg) if a] if is_function(node) else []
    strangers = [n for n in parameters if n not in real and n not in starred]
    out += [f"{node.name}: documents {name}, which is no parameter" for name in strangers]
    for name, text in parameters.items():
        kind = text.split("\n", 1)[0] or real.get(name, "")
        if NUMERIC.search(kind) and not UNIT.search(text):
            out.append(f"{node.name}: {name} has no [unit]")
    if is_function(node) and node.returns is not None:
        out += return_faults(node, told)
    return out


def is_function(node: Named) -> bool:
    return isinstance(node, ast.FunctionDef)


def return_faults(node: ast.FunctionDef, told: dict[str, str]) -> list[str]:
    kind = ast.unparse(node.returns) if node.returns else "None"
    if not NUMERIC.search(kind):
        return []
    body = told.get("Returns", "") + told.get("Yields", "")
    if not body.strip():
        return [f"{node.name}: what it returns is not documented"]
    return [
        f"{node.name}: returns {head!r} without a [unit]"
        for head, text in entries(body).items()
        if NUMERIC.search(f"{head} {text}".split("\n", 1)[0]) and not UNIT.search(text)
    ]


def name_of(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


@pytest.mark.parametrize("path", modules(PACKAGE / "core"), ids=name_of)
def test_core_documents_every_parameter_with_its_unit(path: Path) -> None:
    assert [fault for node in public(path) for fault in faults(node)] == []


@pytest.mark.parametrize("path", modules(PACKAGE), ids=name_of)
def test_module_and_its_public_names_say_what_they_are(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    if not text.strip():
        return
    assert ast.get_docstring(ast.parse(text)), "the module has no docstring"
    assert [node.name for node in public(path) if not ast.get_docstring(node)] == []


SAMPLE = '''
def depth(thickness_m: float, covers: int, *, name: str) -> float:
    """How deep.

    Parameters
    ----------
    thickness_m : float
        How thick. [m]
    cover : int
        How many.
    name : str
        Whose.

    Returns
    -------
    float
        The depth.
    """
'''


def test_the_check_can_fail() -> None:
    node = ast.parse(SAMPLE).body[0]
    assert isinstance(node, ast.FunctionDef)
    assert faults(node) == [
        "depth: covers is not documented",
        "depth: documents cover, which is no parameter",
        "depth: cover has no [unit]",
        "depth: returns 'float' without a [unit]",
    ]
