"""Each call of `said` and `tallied` in the code fills the places of its template, no more and no fewer.

Most sentences are met by one bad job only in one of their forms; a place left empty would fail when a user meets it.
"""

import ast
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest

import buildbook

ROOT = Path(buildbook.__file__).parent


def _calls(path: Path) -> Iterator[tuple[ast.Call, int]]:
    """Calls with the number of templates each begins with."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("said", "tallied"):
            yield node, 1 if node.func.id == "said" else 2


def _places(template: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(template) if name is not None}


FILES = [path for path in sorted(ROOT.rglob("*.py")) if path.name != "said.py" and any(_calls(path))]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_places_are_filled(path: Path) -> None:
    for call, templates in _calls(path):
        where = f"{path.name}:{call.lineno}"
        assert len(call.args) == (1 if templates == 1 else 3), where
        literals = [a.value for a in call.args[:templates] if isinstance(a, ast.Constant) and isinstance(a.value, str)]
        assert len(literals) == templates, f"{where}: no literal"
        assert all(keyword.arg for keyword in call.keywords), where
        places = set().union(*map(_places, literals))
        given = {keyword.arg for keyword in call.keywords} | ({"n"} if templates == 2 else set())
        assert places - given == set(), where
        assert given - places - {"n"} == set(), where


def test_there_is_something_to_look_at() -> None:
    assert len(FILES) > 30
