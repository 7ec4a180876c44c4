"""A part of tests/bench/flips.py that every test run can afford: bits flipped, files renamed, deleted, swapped."""

import importlib.util
from pathlib import Path

import pytest

from buildbook.verify import report_text, verify_path

spec = importlib.util.spec_from_file_location("flips", Path(__file__).parents[2] / "bench" / "flips.py")
bench = importlib.util.module_from_spec(spec)
spec.loader.exec_module(bench)


@pytest.fixture(scope="module")
def issue(tmp_path_factory):
    made = bench.make_issues(tmp_path_factory.mktemp("flips"))
    report = verify_path(made)
    assert report.ok, report_text(report)
    return made


def test_sixty_flipped_bits_are_found_and_their_files_named(issue):
    assert bench.flips(issue, 60, seed=7) == []
    assert verify_path(issue).ok


def test_bits_of_the_last_byte_of_each_small_list_are_found(issue):
    for path in bench.files_of(issue):
        if path.suffix not in (".txt", ".json"):
            continue
        data = path.read_bytes()
        for bit in (0, 5):
            path.write_bytes(data[:-1] + bytes([data[-1] ^ (1 << bit)]))
            assert bench.named(verify_path(issue), path.relative_to(issue).as_posix()), (path, bit)
        path.write_bytes(data)


def test_every_file_renamed_deleted_or_swapped_is_found_and_named(issue):
    count, missed = bench.handled(issue)
    assert missed == []
    assert count > 100
    assert verify_path(issue).ok
