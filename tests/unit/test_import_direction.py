"""load -> rules -> dossier -> render -> seal, verify apart: an import that runs back fails here."""

import ast
from pathlib import Path

import pytest

import buildbook

ROOT = Path(buildbook.__file__).parent
GROUND = {"errors", "marking", "records", "trade", "photos", "schemas"}
ALLOWED = {
    "durable": set(),
    "errors": set(),
    "marking": set(),
    "records": {"records", "marking"},
    "trade": {"trade", "marking", "records"},
    "schemas": set(),
    "photos": {"photos", "records", "errors"},
    "load": {"load", *GROUND},
    "editions": {"editions", "records", "errors"},
    "rules": {"rules", "editions", *GROUND},
    "filing": {"filing", "load", "rules", "photos", "records", "errors", "durable"},
    "dossier": {"dossier", "rules", "editions", "records", "errors", "trade", "marking"},
    "render": {"render", "dossier", "errors"},
    "seal": {"seal", "records", "errors", "durable"},
    "archive": {"archive", "seal", "records", "errors"},
    "report": {"report", "dossier", "rules", "records"},
    "newjob": {"errors", "schemas"},
}
ONLY_DIGEST = {
    "buildbook.seal.digest", "buildbook.seal.chain", "buildbook.seal.changes",
    "buildbook.archive.form", "buildbook.archive.zipform",
}  # fmt: skip


def modules() -> list[Path]:
    return sorted(p for p in ROOT.rglob("*.py") if "_schemas" not in p.parts)


def imports(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {a.name for a in node.names}
        elif isinstance(node, ast.ImportFrom):
            package = [] if node.level == 0 else ["buildbook", *path.relative_to(ROOT).parts[: -node.level]]
            found.add(".".join([*package, *([node.module] if node.module else [])]))
    return {name for name in found if name.split(".")[0] == "buildbook"}


@pytest.mark.parametrize("path", modules(), ids=lambda p: p.relative_to(ROOT).as_posix())
def test_imports_run_one_way(path):
    area = path.relative_to(ROOT).parts[0].removesuffix(".py")
    for name in imports(path):
        parts = name.split(".")
        target = parts[1] if len(parts) > 1 else area  # the package itself: its version
        if area == "verify":
            assert target in {"verify", "errors", "records", "schemas"} or name in ONLY_DIGEST, name
        elif area in ALLOWED:
            assert target in ALLOWED[area], f"{path.relative_to(ROOT)} must not import {name}"
            assert area != "trade" or target != "records" or name == "buildbook.records.said", name


def test_photos_alone_know_the_picture_libraries():
    for path in modules():
        if "photos" in path.parts:
            continue
        names = {
            n
            for node in ast.walk(ast.parse(path.read_text("utf-8")))
            for n in ([a.name for a in node.names] if isinstance(node, ast.Import) else [getattr(node, "module", "")])
            if isinstance(node, ast.Import | ast.ImportFrom)
        }
        assert not {n.split(".")[0] for n in names if n} & {"PIL", "piexif"}, path


def test_one_clock_read():
    readers = [
        path.relative_to(ROOT).as_posix()
        for path in modules()
        if any(
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr in {"now", "today", "utcnow", "time"}
            and isinstance(node.func.value, ast.Name)
            and node.func.value.id in {"datetime", "date", "time"}
            for node in ast.walk(ast.parse(path.read_text("utf-8")))
        )
    ]
    assert readers == ["cli/commands.py"]


def test_modules_stay_small():
    long = {p.relative_to(ROOT).as_posix(): n for p in modules() if (n := len(p.read_text("utf-8").splitlines())) > 440}
    assert not {k: v for k, v in long.items() if k != "records/coverage.py"}
