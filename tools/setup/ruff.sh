# ruff is not in Debian 12: one version, from PyPI, in an environment of its own. Sourced after say.sh.

ruff_version=0.17.6

# Puts the program's path into `ruff`; empty, and said aloud, where it cannot be fetched.
find_ruff() {
  local folder="$top/build-ruff"
  ruff="$folder/bin/ruff"
  [ "$("$ruff" --version 2>/dev/null)" = "ruff $ruff_version" ] && return
  rm -rf "$folder" && mkdir -p "$folder"
  { /usr/bin/python3 -m venv "$folder" && timeout 120 "$folder/bin/python" -m pip \
      --disable-pip-version-check --retries 1 install --only-binary :all: "ruff==$ruff_version"; } \
    >"$folder/fetch.log" 2>&1 && return
  say "ruff $ruff_version could not be fetched (build-ruff/fetch.log): its rules are NOT CHECKED, flake8's are."
  ruff=
}
