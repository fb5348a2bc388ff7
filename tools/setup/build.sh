# Configure and build. Sourced after say.sh.

# As many compilers as there are cores, but no more than memory allows: one that meets Eigen and
# OpenCV together takes up to 1.5 GB (measured with /usr/bin/time on the largest file).
jobs_that_fit() {
  local cores memory_kb
  cores=$(nproc)
  memory_kb=$(awk '/MemAvailable/ { print $2 }' /proc/meminfo)
  local fit=$((memory_kb / 1500000))
  [ "$fit" -lt 1 ] && fit=1
  [ "$fit" -lt "$cores" ] && echo "$fit" || echo "$cores"
}

# build_in DIRECTORY [cmake options]: a repeat only builds what changed.
build_in() {
  local directory=$1
  shift
  local launcher=()
  command -v ccache >/dev/null && launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache)
  mkdir -p "$directory"
  cmake -S "$top" -B "$directory" -G Ninja "${launcher[@]}" "$@" >"$directory/configure.log" 2>&1 ||
    { tail -n 20 "$directory/configure.log" >&2
      fail "CMake could not set up the build; the whole message is in ${directory#"$top"/}/configure.log."; }
  cmake --build "$directory" --parallel "$(jobs_that_fit)" >"$directory/build.log" 2>&1 ||
    { grep -m 5 -A 8 -E 'error|FAILED' "$directory/build.log" >&2
      fail "the build failed; the whole message is in ${directory#"$top"/}/build.log."; }
  say "$(tail -n 1 "$directory/build.log")"
}
