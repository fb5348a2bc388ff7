"""Optional packages: imported when asked for, and one plain sentence where they are missing."""

from __future__ import annotations

import importlib
from types import ModuleType

_WHAT_FOR = {
    "pyarrow": "Parquet datasets",
    "fsspec": "photos and datasets by URL",
    "distributed": "clusters",
}


class OptionalPackageMissing(OSError):
    """A package is not there that only some uses of the library need."""


def need(module: str) -> ModuleType:
    """Import an optional module.

    Raises
    ------
    OptionalPackageMissing
        It is not there; the text says what to install.
    """
    try:
        return importlib.import_module(module)
    except ImportError as error:
        package = module.partition(".")[0]
        raise OptionalPackageMissing(
            f"{_WHAT_FOR[package]} need the Python package {package}, which cannot be used here "
            f"({error}): install it with  pip install 'maturity[cluster]'  or, in Debian's own "
            "Python,  apt install python3-distributed python3-fsspec  and  "
            "pip install 'pyarrow>=14.0.2,<18'"
        ) from error
