"""Files that tests keep go into a folder of their own, which goes with the test."""

from pathlib import Path

import pytest
from pytest_django import Settings


@pytest.fixture(autouse=True)
def media_in_a_folder_of_its_own(settings: Settings, tmp_path: Path) -> Path:
    settings.MEDIA_ROOT = tmp_path / "media"
    return settings.MEDIA_ROOT
