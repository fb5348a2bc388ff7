"""Calibrations in a file: what shape says by cultivar, and the error of each meter."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from os import PathLike
from pathlib import Path
from typing import Any

from maturity import _core
from maturity.joining import LeftOut
from maturity.season.table import Row

#: Version of the file that holds several calibrations; a later one is refused. From format 2 on
#: meters have an id, and the file names its seasons.
FILE_FORMAT = 2
_FORMAT_WITH_IDS = 2

#: Beyond it, and at 0, it is no error of a meter: a column copied from the oven, a slip.
_LARGEST_SEP_PCT = 10.0


@dataclass(frozen=True)
class MeterError:
    """Error of a meter once its bias in a block and its slope are out, %, and fruit behind it.

    `visits` are those that it was learnt on, as "block date".
    """

    sep_pct: float
    fruit: int
    visits: frozenset[str] = field(default=frozenset(), compare=False)


@dataclass
class StoredCalibration:
    """What a calibration file holds: slopes by cultivar, and meters by name and setting."""

    shape: dict[str, _core.ShapeCalibration]
    meters: dict[str, MeterError] = field(default_factory=dict)

    def for_cultivar(
        self, cultivar: str, other_cultivar: bool = False
    ) -> _core.ShapeCalibration | None:
        """What is stored of this cultivar; else, where the user asks for it, of the only other."""
        made = self.shape.get(cultivar)
        if made is None and other_cultivar and len(self.shape) == 1:
            return next(iter(self.shape.values()))
        return made

    def slopes(self, cultivar: str, other_cultivar: bool = False) -> _core.CalibrationSlopes:
        """Slopes for a block of this cultivar, or of the only other where the user asks for it.

        Raises
        ------
        ValueError
            None for this cultivar, another measuring method, or shape was found to say too little.
        """
        made = self.for_cultivar(cultivar, other_cultivar)
        if made is None:
            known = ", ".join(self.shape) or "no cultivar"
            raise ValueError(f"it is for {known}, not for {cultivar}: left out")
        if made.outcome != "usable":
            raise ValueError(f"{made.outcome_sentence}: left out")
        return _core.calibration_slopes(
            made.to_json(),
            cultivar=cultivar,
            names=made.names,
            allow_other_cultivar=other_cultivar,
        )


def read_calibration(path: str | PathLike[str]) -> StoredCalibration:
    """Read what `maturity calibrate` stored, or a single shape calibration of the library.

    Raises
    ------
    OSError
        The file cannot be read.
    ValueError
        It is no calibration, was changed by hand, or is of a later format.
    """
    try:
        content = json.loads(Path(path).read_text("utf-8"))
        if "shape" not in content:
            made = _core.calibration_from_json(json.dumps(content))
            return StoredCalibration({made.source.cultivar: made})
        made_as = content["file_format"]
        if made_as not in range(1, FILE_FORMAT + 1):
            raise ValueError(f"file_format {made_as}: expected 1 to {FILE_FORMAT}")
        shape = [_core.calibration_from_json(json.dumps(one)) for one in content["shape"]]
        if made_as >= _FORMAT_WITH_IDS:
            _check_ids(content["meters"])
        meters = _meters(content["meters"])
    except KeyError as error:
        raise ValueError(f"{path} is no calibration: expected a field {error}; {_MADE}") from None
    except (ValueError, TypeError, AttributeError) as error:
        why = f"{path} is no calibration that can be used: {error}"
        raise ValueError(f"{why}; {_MADE}") from None
    return StoredCalibration({one.source.cultivar: one for one in shape}, meters)


_MADE = "give the file that `maturity calibrate SEASON --out FILE` wrote"


def with_id(fields: Mapping[str, Any]) -> dict[str, Any]:
    """Fields of a meter with 16 hex digits over their content (SHA-256).

    It tells files that were changed by hand from others; no protection against intent.
    """
    kept = {name: value for name, value in fields.items() if name != "id"}
    text = json.dumps(kept, sort_keys=True, separators=(",", ":"))
    return {**kept, "id": hashlib.sha256(text.encode()).hexdigest()[:16]}


def _check_ids(meters: Mapping[str, Mapping[str, Any]]) -> None:
    for name, fields in meters.items():
        expected = with_id(fields)["id"]
        if fields["id"] != expected:
            raise ValueError(
                f"meter {name}, id {fields['id']}: expected {expected}, that of its content: it "
                "was changed after it was saved"
            )


def _meters(content: Mapping[str, Any]) -> dict[str, MeterError]:
    return {
        name: MeterError(
            float(one["within_block_sep"]),
            int(one["within_block_fruit"]),
            frozenset(str(visit["block"]) for visit in one.get("blocks") or ()),
        )
        for name, one in content.items()
        if one["within_block_sep"] is not None and 0 < one["within_block_sep"] < _LARGEST_SEP_PCT
    }


def slopes_for(
    block: Row, stored: StoredCalibration | None, left_out: list[LeftOut], other_cultivar: bool
) -> _core.CalibrationSlopes | None:
    """The calibration where it fits this block's cultivar and this library's descriptors."""
    if stored is None:
        return None
    try:
        return stored.slopes(block["cultivar"], other_cultivar)
    except ValueError as error:
        left_out.append(LeftOut(block["block"], None, "calibration of shape", str(error)))
        return None
