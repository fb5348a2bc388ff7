"""The stub of the extension names what the extension has, and nothing else."""

from __future__ import annotations

import ast
from pathlib import Path

import maturity
from maturity import _core


def test_stub_and_extension_name_the_same():
    stub = ast.parse((Path(maturity.__file__).parent / "_core.pyi").read_text())
    named: dict[str, set[str]] = {}
    own = {
        node.name: {item.name for item in node.body if isinstance(item, ast.FunctionDef)}
        for node in stub.body
        if isinstance(node, ast.ClassDef)
    }
    own["_Drawn"] |= own["_Fields"]
    for node in stub.body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            named[node.name] = {
                item.target.id if isinstance(item, ast.AnnAssign) else item.name
                for item in node.body
                if isinstance(item, (ast.AnnAssign, ast.FunctionDef))
            }
            for base in node.bases:
                named[node.name] |= own[base.id]
            named[node.name] = {one for one in named[node.name] if not one.startswith("_")}
        elif isinstance(node, ast.FunctionDef):
            named[node.name] = set()
        elif isinstance(node, ast.AnnAssign) and not node.target.id.startswith("_"):
            named[node.target.id] = set()
    real = {name for name in dir(_core) if not name.startswith("_")}
    assert set(named) == real
    for name, members in named.items():
        if isinstance(getattr(_core, name), type):
            shown = {one for one in dir(getattr(_core, name)) if not one.startswith("_")}
            assert members == shown, name
