# The ready environment in .venv: Debian's own Python and libraries, plus the package just built.
# Sourced after say.sh.

python_environment() {
  # A user's PYTHONPATH could put another numpy before Debian's.
  unset PYTHONPATH PYTHONHOME
  local venv="$top/.venv" site
  if ! "$venv/bin/python" -c 'import numpy' 2>/dev/null; then
    rm -rf "$venv"
    /usr/bin/python3 -m venv --system-site-packages --without-pip "$venv" ||
      fail "the Python environment .venv could not be made."
  fi
  site=$("$venv/bin/python" -c 'import sysconfig; print(sysconfig.get_path("purelib"))')
  # From new each time: a module that was renamed must not live on as a ghost.
  rm -rf "${site:?}/maturity"
  cmake --install "$top/build" --component python --prefix "$site" >"$top/build/install.log" 2>&1 ||
    { tail -n 5 "$top/build/install.log" >&2
      fail "the Python package could not be put into .venv; see build/install.log."; }
  cat >"$venv/bin/maturity" <<LAUNCHER
#!/bin/sh
exec "$venv/bin/python" -P -m maturity "\$@"
LAUNCHER
  chmod +x "$venv/bin/maturity"
  (cd / && "$venv/bin/python" -c 'import maturity') ||
    fail "the Python package was built and installed, but 'import maturity' fails; see above."
}
