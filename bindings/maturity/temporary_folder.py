"""The folder for temporary files, when it cannot be written to."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator


@contextlib.contextmanager
def temporary_faults(*kinds: type[Exception]) -> Iterator[None]:
    """Errors of these kinds become an OSError that says what to do."""
    try:
        yield
    except kinds as error:
        reason = getattr(error, "strerror", None) or error
        raise OSError(
            f"results cannot be kept in the folder for temporary files ({reason}): make room "
            "there, or name another folder in TMPDIR"
        ) from error
