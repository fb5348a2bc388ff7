"""Recipes that are not built here say at least what the package itself says."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

TOP = Path(__file__).parents[2]
#: Names on conda-forge that are not the PyPI name in small letters (from memory).
CONDA_NAMES = {"matplotlib": "matplotlib-base"}


def bounds(requirement):
    """Name in small letters and the set of its version bounds."""
    name, rest = re.fullmatch(r"([A-Za-z0-9_-]+)\s*(.*)", requirement).groups()
    return name.lower(), frozenset(rest.replace(" ", "").split(",")) - {""}


def conda_section(name):
    text = (TOP / "tools/packages/conda/meta.yaml").read_text("utf-8")
    (section,) = re.findall(rf"^  {name}:\n((?:    - .*\n)+)", text, re.MULTILINE)
    return dict(bounds(line.removeprefix("    - ")) for line in section.splitlines())


def test_the_conda_recipe_asks_for_what_the_package_asks_for():
    project = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]
    asked = dict(bounds(one) for one in project["dependencies"])
    run = conda_section("run")
    assert run.pop("python") == frozenset()
    assert run == {CONDA_NAMES.get(name, name): these for name, these in asked.items()}
    optional = project["optional-dependencies"]["cluster"]
    assert conda_section("run_constrained") == dict(bounds(one) for one in optional)


def test_versions_are_the_same_everywhere():
    version = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    assert f"project(maturity VERSION {version} " in (TOP / "CMakeLists.txt").read_text("utf-8")
    recipe = (TOP / "tools/packages/conda/meta.yaml").read_text("utf-8")
    assert f'{{% set version = "{version}" %}}' in recipe
    assert f"find_package(maturity {version.rpartition('.')[0]} " in (
        TOP / "tests/outside_project/CMakeLists.txt"
    ).read_text("utf-8")


def test_the_conda_recipe_finds_every_library_that_is_linked():
    """What MaturityDependencies.cmake looks for has a package in the recipe."""
    found = (TOP / "cmake/MaturityDependencies.cmake").read_text("utf-8")
    libraries = re.findall(r"find_package\((\w+)", found)
    libraries += re.findall(r"pkg_check_modules\((\w+)", found)
    words = {"eigen3": "eigen", "png": "libpng", "tiff": "libtiff", "turbojpeg": "libjpeg-turbo"}
    words |= {"opencv": "libopencv", "zxing": "zxing-cpp", "boost": "libboost-headers"}
    wanted = {words.get(one.lower(), one.lower()) for one in libraries}
    assert wanted - {"threads", "pkgconfig"} <= set(conda_section("host"))
