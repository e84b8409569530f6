"""A folder with the sample data, out of reach of anybody's configuration."""

import os
import shutil
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parents[2] / "sample_data"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Stand in a folder that holds nothing but the sample data."""
    for variable in [name for name in os.environ if name.startswith("WINRATE_")]:
        monkeypatch.delenv(variable)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "own"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("HOME", str(tmp_path))
    here = tmp_path / "here"
    here.mkdir()
    for path in SAMPLE.glob("*.csv"):
        shutil.copy(path, here)
    monkeypatch.chdir(here)
    return here
