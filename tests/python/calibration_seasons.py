"""Made-up seasons whose slope of dry matter on shape, and meter, are known."""

from __future__ import annotations

import numpy
from season_folders import CLEARED, OVEN_HEADER, POLICY, write_files
from test_scoring import fake_fruit, fake_photo

from maturity import season_fruit
from maturity.visit_scoring import DEFAULT_DESCRIPTORS

DAY = "2026-11-03"
NAMES = ("River", "Hill", "Marsh", "Bank")
METER_BIAS, METER_SD = 0.8, 0.7


def season_maker(tmp_path, monkeypatch):
    """Writes a season of four blocks whose dry matter goes up by `slope` with one descriptor."""
    measured = {}

    def make(slope, *, oven_of=lambda *_: True, shift=0.0, day=DAY, name="season", **files):
        generator = numpy.random.default_rng(8 + int(day[2:4]) - 26)
        oven = OVEN_HEADER
        meter = "block,tree,date,fruit,meter,dm_pct\n"
        folder = tmp_path / name
        for block in NAMES:
            level = generator.normal(16, 0.5)
            for tree in range(1, 9):
                photo = f"{block}/{tree}/{day}/a.jpg"
                found = []
                for fruit in (1, 2):
                    values = generator.normal(0.5, 0.1, len(DEFAULT_DESCRIPTORS))
                    dm = level + slope * (values[0] - 0.5) + generator.normal(0, 0.6)
                    read = dm + generator.normal(METER_BIAS, METER_SD)
                    shape = dict(zip(DEFAULT_DESCRIPTORS, (values + shift).tolist()))
                    found.append(fake_fruit(fruit, **shape))
                    if oven_of(block, tree):
                        oven += f"{block},{tree},{day},{fruit},40,60,{40 + 0.2 * dm:.4f},\n"
                    meter += f"{block},{tree},{day},{fruit},A,{read:.2f}\n"
                measured[photo] = fake_photo(*found, sha256=photo)
                path = folder / "photos" / photo
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(photo.encode())
        tables = {
            "blocks": "block,cultivar\n" + "".join(f"{name},Amberlee\n" for name in NAMES),
            "policy": POLICY,
            "sprays": CLEARED,
            "oven": oven,
            "meter": meter,
        }

        def known(photos, *_, **__):
            return {one: measured[one] for one in photos}

        monkeypatch.setattr(season_fruit, "measure_missing", known)
        return write_files(folder, **{**tables, **files})

    return make
