"""What may be found on picked fruit, by kind."""

from __future__ import annotations

from typing import Any

from maturity import _core

#: All findings with what usually causes them, by name.
FINDINGS: dict[str, dict[str, Any]] = {one["name"]: one for one in _core.picked_findings()}


def _of_kind(kind: str) -> tuple[str, ...]:
    return tuple(name for name, one in FINDINGS.items() if one["kind"] == kind)


#: From picking to the shed, marks that were there before, and rots of the store.
HANDLING = _of_kind("handling")
BEFORE_HARVEST = _of_kind("before_harvest")
STORAGE = _of_kind("storage")
