"""The trade package stands alone: nothing of the rest, no files, no clock; slow libraries only on use."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import buildbook.trade

MODULES = sorted(Path(buildbook.trade.__file__).parent.glob("*.py"))
ALLOWED = {"pint", "coloraide"} | set(sys.stdlib_module_names)
# Mark strings for the catalogues, and import nothing else of the rest.
MARKS = {"buildbook.marking", "buildbook.records.said"}
BARRED = {"os", "io", "pathlib", "time", "random", "subprocess", "socket", "urllib"}
CLOCK = {"now", "today", "utcnow"}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_a_module_stands_alone(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            # one level up at most: siblings only
            assert node.level <= 1, ast.unparse(node)
            names = [] if node.level else [node.module or ""]
        tops = {name.partition(".")[0] for name in names if name not in MARKS}
        assert tops <= ALLOWED, ast.unparse(node)
        assert not tops & BARRED, ast.unparse(node)
        if isinstance(node, ast.Call):
            called = node.func
            assert not (isinstance(called, ast.Name) and called.id == "open")
            assert not (isinstance(called, ast.Attribute) and called.attr in CLOCK)
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400


def test_slow_libraries_wait_for_their_use() -> None:
    code = (
        "import sys, buildbook.trade.kinds, buildbook.trade.colour, buildbook.trade.fasteners;"
        "print(*({'pint', 'coloraide'} & set(sys.modules)))"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == ""
