"""A job folder as records: `load_job` reads TOML, CSV, XLSX and photos, and says what it could not read."""

from buildbook.load.elsewhere import read_other_job
from buildbook.load.job import Loaded, load_job

__all__ = ["Loaded", "load_job", "read_other_job"]
