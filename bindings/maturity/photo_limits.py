"""How large a photo may be and how long it may take: for files made to keep a machine busy."""

from __future__ import annotations

from dataclasses import dataclass

from maturity import _core

_DEFAULTS = _core.MeasureSettings()


@dataclass(frozen=True)
class PhotoLimits:
    """Limits for each photo.

    Attributes
    ----------
    max_megapixels : float
        A photo whose header claims more is refused before it is decoded.
    max_seconds : float
        A photo that takes longer is given up, and tried again in the next run.
    """

    max_megapixels: float = _DEFAULTS.max_megapixels
    max_seconds: float = _DEFAULTS.max_seconds

    def settings(self, threads: int) -> _core.MeasureSettings:
        """Settings of the library with these limits."""
        settings = _core.MeasureSettings()
        settings.max_megapixels = self.max_megapixels
        settings.max_seconds = self.max_seconds
        settings.threads = threads
        return settings
