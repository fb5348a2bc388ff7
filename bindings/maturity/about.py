"""Which version this is, and what it rests on."""

from __future__ import annotations

import importlib.metadata
import platform
import sqlite3

from maturity import _core


_RESTS_ON = ("numpy", "pandas", "matplotlib")


def library_version() -> str:
    """Version of the library and of its measuring method: part of every stored measurement."""
    return f"{_core.version()}, method {_core.method_version()}"


def about() -> dict[str, str]:
    """Versions of the library and of what it rests on; hand it in with a question or a fault.

    Returns
    -------
    dict of str to str

    Examples
    --------
    >>> "maturity" in about()
    True
    """
    return {
        "maturity": _core.version(),
        "method": str(_core.method_version()),
        "python": platform.python_version(),
        **{name: importlib.metadata.version(name) for name in _RESTS_ON},
        "sqlite": sqlite3.sqlite_version,
        "machine": f"{platform.system()} {platform.machine()}",
    }
