"""What is installed: each file of the package, and the schemas, lie in the wheel, built without a network."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

builders = pytest.importorskip("hatchling.builders.wheel")
ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    (made,) = builders.WheelBuilder(str(ROOT)).build(directory=str(tmp_path_factory.mktemp("wheel")))
    with zipfile.ZipFile(made) as opened:
        return {name: opened.read(name) for name in opened.namelist()}


def test_each_file_of_the_package_lies_in_it(wheel):
    here = {
        p.relative_to(ROOT).as_posix(): p
        for p in (ROOT / "buildbook").rglob("*")
        if p.is_file() and "__pycache__" not in p.parts
    }
    package = {name for name in wheel if name.startswith("buildbook/") and not name.startswith("buildbook/_schemas/")}
    assert package == set(here)
    for part in ("render/html/templates/body.html", "render/html/static/edition.css", "render/html/static/edition.js",
                 "report/templates/findings.html", "report/templates/findings.css"):  # fmt: skip
        assert wheel[f"buildbook/{part}"] == (ROOT / "buildbook" / part).read_bytes()


def test_the_schemas_lie_in_it(wheel):
    there = {name.rpartition("/")[2] for name in wheel if name.startswith("buildbook/_schemas/")}
    assert there == {p.name for p in (ROOT / "schemas").iterdir()}


def test_the_page_is_made_from_the_wheel_alone(wheel, tmp_path):
    """The package unpacked elsewhere, first on the path: it finds its own templates."""
    import subprocess
    import sys

    for name, data in wheel.items():
        target = tmp_path / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
    code = (
        "import sys; sys.path[:0] = [sys.argv[1], sys.argv[2]]\n"
        "import buildbook; assert buildbook.__file__.startswith(sys.argv[1]), buildbook.__file__\n"
        "from unit.render import sample; from buildbook.render.html.assets import Asset, File\n"
        "from buildbook.render.html.page import page\n"
        "one = Asset(File('assets/a.jpg', 4, 3), File('assets/a-s.jpg', 4, 3))\n"
        "print(page(sample.sample(), {sample.asset(n): one for n in range(1, 21)}, {}))"
    )
    told = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path), str(ROOT / "tests")], check=True, capture_output=True, text=True
    )
    assert told.stdout.startswith("<!doctype html>")
