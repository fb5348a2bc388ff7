"""The kept bill of materials names what the extension is linked with and the package imports."""

from __future__ import annotations

import json
import runpy
import shutil
from pathlib import Path

import pytest

from maturity import _core

TOP = Path(__file__).parents[2]
BILL = json.loads((TOP / "tools" / "packages" / "sbom.json").read_text())
NAMES = {one["name"] for one in BILL["components"]}


def test_every_component_has_a_version_and_a_licence():
    assert (BILL["bomFormat"], BILL["specVersion"]) == ("CycloneDX", "1.5")
    for one in BILL["components"]:
        assert one["version"] and one["licenses"], one["name"]
    assert len(NAMES) == len(BILL["components"])
    assert BILL["metadata"]["component"]["version"] == _core.version()


def test_it_names_what_the_extension_is_linked_with():
    if not (shutil.which("dpkg") and shutil.which("objdump")):
        pytest.skip("NOT TESTED: needs dpkg and objdump")
    linked = runpy.run_path(str(TOP / "tools" / "packages" / "sbom"))["linked"]
    direct, _ = linked(Path(_core.__file__))
    assert "libexiv2-27" in direct and direct <= NAMES
    told = {"name": "maturity:linked", "value": "directly"}
    assert {one["name"] for one in BILL["components"] if told in one["properties"]} == direct


def test_it_names_every_package_that_tools_demo_installs_for_python():
    text = (TOP / "tools" / "setup" / "packages.txt").read_text()
    group = text.partition("[python]\n")[2].partition("[")[0].split()
    assert set(group) - {"python3-dev", "python3-venv"} <= NAMES
