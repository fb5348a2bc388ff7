# Configure and build a preset of CMakePresets.json. Sourced after say.sh, with the top of the
# tree as the current folder.

# As many compilers as there are cores, but no more than memory allows: one that meets Eigen,
# OpenCV and pybind11 in one file takes up to 1.5 GB.
jobs_that_fit() {
  local cores memory_kb
  cores=$(nproc)
  memory_kb=$(awk '/MemAvailable/ { print $2 }' /proc/meminfo)
  local fit=$((memory_kb / 1500000))
  [ "$fit" -lt 1 ] && fit=1
  [ "$fit" -lt "$cores" ] && echo "$fit" || echo "$cores"
}

# A second clone of the same tree finds the compiled files of the first.
export CCACHE_BASEDIR=$top

# configure PRESET FOLDER [cmake options]
configure() {
  local preset=$1 folder=$2
  shift 2
  local launcher=()
  command -v ccache >/dev/null && launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache)
  mkdir -p "$folder"
  cmake --preset "$preset" "${launcher[@]}" "$@" >"$folder/configure.log" 2>&1 ||
    { tail -n 20 "$folder/configure.log" >&2
      fail "CMake could not set up the build; the whole message is in $folder/configure.log."; }
}

# build PRESET FOLDER [cmake options]: a repeat only builds what changed.
build() {
  local folder=$2
  configure "$@"
  run_build "$folder" || build_apart "$@" ||
    { grep -m 5 -A 8 -E 'error|FAILED' "$folder/build.log" >&2
      fail "the build failed; the whole message is in $folder/build.log."; }
  say "$(tail -n 1 "$folder/build.log")"
}

# run_build FOLDER: all of it, or the targets named in BUILD_TARGETS.
run_build() {
  local wanted=()
  [ -z "${BUILD_TARGETS:-}" ] || read -ra wanted <<<"--target $BUILD_TARGETS"
  cmake --build "$1" --parallel "$(jobs_that_fit)" "${wanted[@]}" -- -k 0 >"$1/build.log" 2>&1
}

# A unity build compiles the files of a target as one; where two of them use one name for two things,
# that target is built file by file instead. What is truly wrong then fails again.
build_apart() {
  local folder=$2 apart
  grep -q 'FAILED: .*/Unity/' "$folder/build.log" || return 1
  apart=$({ sed -n 's/^MATURITY_APART:STRING=//p' "$folder/CMakeCache.txt" | tr ';' '\n'
            sed -nE 's|^FAILED: .*CMakeFiles/([^/]+)\.dir/Unity/.*|\1|p' "$folder/build.log"
          } | sed '/^$/d' | sort -u | paste -sd ';')
  say "Compiled file by file, for names that clash: $apart"
  configure "$@" "-DMATURITY_APART=$apart"
  run_build "$folder"
}
