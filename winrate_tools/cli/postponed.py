"""Parts of libraries that wait until they are used.

Importing ``scipy.special`` walks through every public part of numpy, among them a Fortran
wrapper and a test bench, which takes as long as numpy itself. Here they are found, but run
only when something in them is asked for.
"""

import sys
from collections.abc import Sequence
from importlib.machinery import ModuleSpec, PathFinder
from importlib.util import LazyLoader
from types import ModuleType

PARTS = frozenset(
    f"numpy.{part}"
    for part in (
        *("char", "ctypeslib", "f2py", "fft", "ma", "polynomial"),
        *("random", "rec", "strings", "testing", "typing"),
    )
)


class Postponed:
    """Finds the parts, with a loader that waits for their first use."""

    @staticmethod
    def find_spec(
        name: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Find one of the parts, and leave every other module to others."""
        spec = PathFinder.find_spec(name, path, target) if name in PARTS else None
        if spec is not None and spec.loader is not None:
            spec.loader = LazyLoader(spec.loader)
        return spec


def postpone() -> None:
    """Postpone the parts of libraries that are imported from now on."""
    if Postponed not in sys.meta_path:
        sys.meta_path.insert(0, Postponed)
