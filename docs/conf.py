"""Settings of the documentation site (Sphinx); tools/docs builds it."""

import inspect

project = "libmaturity"
author = "the project"
copyright = "the project, Apache License 2.0"
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
source_suffix = {".md": "markdown", ".rst": "restructuredtext"}
# Links to headings inside Markdown pages.
myst_heading_anchors = 3
autodoc_typehints = "none"
napoleon_google_docstring = False
html_theme = "alabaster"
html_theme_options = {
    "description": "When is a block of mangoes ready to pick?",
    "font_size": "16px",
}
html_css_files = ["site.css"]
html_static_path = ["_static"]
suppress_warnings = ["myst.header"]


def _only_types_of_core(_app, what, _name, member, skip, _options):
    """Functions of the extension are called through those documented above it."""
    own = getattr(member, "__module__", None) == "maturity._core"
    return True if what == "module" and own and inspect.isroutine(member) else skip


def setup(app):
    """Called by Sphinx."""
    app.connect("autodoc-skip-member", _only_types_of_core)
