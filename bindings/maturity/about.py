"""Which version this is, and what it rests on."""

from __future__ import annotations

import platform
import sqlite3

import matplotlib
import numpy
import pandas

from maturity import _core


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
        "numpy": numpy.__version__,
        "pandas": pandas.__version__,
        "matplotlib": matplotlib.__version__,
        "sqlite": sqlite3.sqlite_version,
        "machine": f"{platform.system()} {platform.machine()}",
    }
