"""A dossier in each language on offer: the same bytes in any environment, and a record no language changes."""

import hashlib
import json
import os
import subprocess
import sys

import pytest
from jobs.planting import MINIMAL, Folder

from buildbook.records.languages import LANGUAGES

# What gettext, libc and Python look at; the names need not be installed to do harm.
ENVIRONMENTS = (
    {"LANG": "C", "LC_ALL": "C", "LANGUAGE": ""},
    {"LANG": "de_DE.UTF-8", "LC_ALL": "de_DE.UTF-8", "LANGUAGE": "ja:de", "LC_NUMERIC": "de_DE.UTF-8"},
)


def made(tmp_path, language, environment, n):
    """The files of a draft, by name, made in a process of its own."""
    folder, out = tmp_path / f"job-{n}", tmp_path / f"out-{n}"
    subprocess.run(["cp", "-r", str(MINIMAL), str(folder)], check=True)
    Folder(folder).replace("job.toml", 'currency = "EUR"', f'currency = "EUR"\nlanguage = "{language}"')
    subprocess.run(
        [sys.executable, "-m", "buildbook", "compile", str(folder), "--draft", "--issued-on", "2026-03-20", "--out",
         str(out)],
        check=True, env={**os.environ, **environment}, capture_output=True,
    )  # fmt: skip
    return {p.relative_to(out).as_posix(): p.read_bytes() for p in sorted(out.rglob("*")) if p.is_file()}


@pytest.mark.slow
@pytest.mark.parametrize("language", LANGUAGES)
def test_same_bytes_whatever_the_environment_says(tmp_path, language):
    one, other = (made(tmp_path, language, environment, n) for n, environment in enumerate(ENVIRONMENTS))
    assert {name: hashlib.sha256(data).hexdigest() for name, data in one.items()} == {
        name: hashlib.sha256(data).hexdigest() for name, data in other.items()
    }
    (record,) = [json.loads(data) for name, data in one.items() if name.endswith("record.json")]
    assert record["job"]["language"] == language
