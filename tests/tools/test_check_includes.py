"""Each rule of tools/check_includes bites on a tree that breaks just that rule."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

SCRIPT = Path(__file__).resolve().parents[2] / "tools" / "check_includes"


def check(top: Path) -> tuple[int, str]:
    """Run the script on a tree; return its exit code and what it printed."""
    done = subprocess.run([SCRIPT, top], capture_output=True, text=True)
    return done.returncode, done.stdout + done.stderr


def write(top: Path, name: str, text: str) -> None:
    """Write one file of the tree."""
    file = top / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text)


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """Return a small tree without fault."""
    write(
        tmp_path, "CMakeLists.txt", "set(MATURITY_FOLDERS core stats photo descriptors drymatter)"
    )
    for folder, depends in (
        ("core", ""),
        ("stats", "core"),
        ("photo", "core"),
        ("descriptors", "core stats"),
        ("drymatter", "core stats"),
    ):
        text = (
            f"maturity_folder({folder}\n  SOURCES a.cpp\n  DEPENDS {depends}\n  LIBS opencv_core)"
        )
        write(tmp_path, f"libmaturity/{folder}/CMakeLists.txt", text)
        write(tmp_path, f"libmaturity/{folder}/a.h", "#pragma once\n")
    write(tmp_path, "libmaturity/photo/a.cpp", "#include <opencv2/core.hpp>\n")
    write(tmp_path, "libmaturity/stats/a.cpp", '#include "libmaturity/core/a.h"\n')
    write(tmp_path, "tests/photo/drawn.h", "#include <opencv2/core.hpp>\n")
    write(
        tmp_path, "bindings/module.cpp", '#include <pybind11/a.h>\n#include "libmaturity/stats/a.h"'
    )
    return tmp_path


def test_silent_on_a_right_tree(tree: Path) -> None:
    code, said = check(tree)
    assert code == 0
    assert "9 files, 0 faults" in said


@pytest.mark.parametrize(
    ("name", "text", "fault"),
    [
        (
            "libmaturity/core/b.cpp",
            '\n#include "libmaturity/stats/a.h"\n',
            "libmaturity/core/b.cpp:2: core may not include stats",
        ),
        (
            "libmaturity/descriptors/b.h",
            '#include "libmaturity/photo/a.h"\n',
            "descriptors may not include photo",
        ),
        (
            "tests/stats/a_test.cpp",
            '#include "libmaturity/drymatter/a.h"\n',
            "tests/stats/a_test.cpp:1: stats may not include drymatter",
        ),
        ("libmaturity/photo/b.h", "#include <opencv2/core.hpp>\n", "OpenCV in a header"),
        ("libmaturity/photo/b.h", "void f(const cv::Mat&);\n", "OpenCV named in a header"),
        (
            "libmaturity/stats/b.cpp",
            "#include <opencv2/core.hpp>\n",
            "OpenCV outside the image stages",
        ),
        (
            "tests/stats/drawn.h",
            "#include <opencv2/core.hpp>\n",
            "OpenCV outside the image stages",
        ),
        ("libmaturity/core/b.cpp", "#include <pybind11/a.h>\n", "Python outside bindings"),
        (
            "libmaturity/core/b.cpp",
            '#include "libmaturity/core/gone.h"\n',
            "libmaturity/core/gone.h does not exist",
        ),
        ("libmaturity/stats/b.cpp", "#include <libmaturity/core/a.h>\n", "in quotes"),
        ("libmaturity/core/b.cpp", '#include "tests/a.h"\n', "the library may not include tests"),
    ],
)
def test_names_the_fault(tree: Path, name: str, text: str, fault: str) -> None:
    write(tree, name, text)
    code, said = check(tree)
    assert code == 1
    assert fault in said


@pytest.mark.parametrize(
    ("folder", "depends", "fault"),
    [
        ("core", "stats", "core depends on stats, not before it"),
        ("photo", "drymatter", "photo depends on drymatter, not before it"),
    ],
)
def test_links_point_upstream(tree: Path, folder: str, depends: str, fault: str) -> None:
    text = f"maturity_folder({folder} SOURCES a.cpp DEPENDS {depends})"
    write(tree, f"libmaturity/{folder}/CMakeLists.txt", text)
    code, said = check(tree)
    assert code == 1
    assert fault in said


def test_shape_may_not_know_dry_matter(tree: Path) -> None:
    order = "set(MATURITY_FOLDERS core stats photo drymatter descriptors)"
    write(tree, "CMakeLists.txt", order)
    text = "maturity_folder(descriptors SOURCES a.cpp DEPENDS core drymatter)"
    write(tree, "libmaturity/descriptors/CMakeLists.txt", text)
    code, said = check(tree)
    assert code == 1
    assert "descriptors may not know drymatter" in said
