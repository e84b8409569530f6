"""Parts of libraries that wait until they are used.

Importing ``scipy.special`` prepares its functions for arrays of other libraries, reads all
their documentation, and walks through every public part of numpy, among them a Fortran wrapper
and a test bench, which takes as long as numpy itself. Plain functions of numbers, the only
ones that most commands need, stand in one part of it, which runs alone; anything else that is
asked for runs the whole. The parts of numpy are found, but run when something in them is used.
"""

import sys
from collections.abc import Sequence
from importlib import import_module
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from importlib.util import LazyLoader
from types import ModuleType
from typing import Any

WHOLE, PLAIN = "scipy.special", "scipy.special._ufuncs"
"""A module, and its part with the plain functions, which it passes on as they are."""
PARTS = frozenset(
    f"numpy.{part}"
    for part in (
        *("char", "ctypeslib", "f2py", "fft", "ma", "polynomial"),
        *("random", "rec", "strings", "testing", "typing"),
    )
)


class PlainFirst(SourceFileLoader):
    """Runs the whole when something is asked of it that its part does not have."""

    def exec_module(self, module: ModuleType) -> None:
        """Let the module find its attributes when they are asked for."""

        def attribute(name: str) -> Any:
            found = None if name.startswith("_") else getattr(import_module(PLAIN), name, None)
            if found is None:
                del vars(module)["__getattr__"]
                super(PlainFirst, self).exec_module(module)
                found = getattr(module, name)
            return found

        vars(module)["__getattr__"] = attribute


class Postponed:
    """Finds the whole and the parts, with loaders that wait for their first use."""

    @staticmethod
    def find_spec(
        name: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Find one of them, and leave every other module to others."""
        if name != WHOLE and name not in PARTS:
            return None
        spec = PathFinder.find_spec(name, path, target)
        if spec is not None and spec.loader is not None:
            waiting = LazyLoader(spec.loader)
            spec.loader = PlainFirst(name, str(spec.origin)) if name == WHOLE else waiting
        return spec


def postpone() -> None:
    """Postpone the parts of libraries that are imported from now on."""
    if Postponed not in sys.meta_path:
        sys.meta_path.insert(0, Postponed)
