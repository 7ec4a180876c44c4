"""The order of tests, and the pictures that many of them share."""

from __future__ import annotations

import pytest

from buildbook.photos import Library


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files with a slow test first, so that no process is left alone with one at the end."""
    slow = {item.path for item in items if item.get_closest_marker("slow")}
    items.sort(key=lambda item: item.path not in slow)


@pytest.fixture(scope="session")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """Each photo read once in a process of the tests. What tests the cache makes one of its own."""
    return Library(tmp_path_factory.getbasetemp() / "photos", workers=1)
