# install_packages GROUP...: installs what is missing of packages.txt. Sourced after say.sh.
# Asks dpkg first, so a second run neither needs root nor touches the network.

packages_of() {
  awk -v wanted=" $* " '/^\[/ { on = index(wanted, " " substr($0, 2, length($0) - 2) " ") }
                        /^[a-z]/ && on' "$top/tools/setup/packages.txt"
}

installed_packages() {
  dpkg-query --show --showformat='${db:Status-Status} ${Package}\n' "$@" 2>/dev/null |
    awk '$1 == "installed" { print $2 }' | sort -u
}

install_packages() {
  local wanted missing as_root=()
  command -v dpkg-query >/dev/null && command -v apt-get >/dev/null ||
    fail "this command installs Debian packages and there is no apt-get here; see" \
         "'Without Debian' in DEVELOPERS.md for the list of libraries to install by hand."
  mapfile -t wanted < <(packages_of "$@" | sort -u)
  mapfile -t missing < <(comm -23 <(printf '%s\n' "${wanted[@]}") \
                                  <(installed_packages "${wanted[@]}"))
  if [ ${#missing[@]} -eq 0 ]; then
    say "Debian packages: all ${#wanted[@]} are there."
    return
  fi
  say "Debian packages to install: ${missing[*]}"
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null ||
      fail "packages are missing, and installing them needs root: run this as root, install sudo," \
           "or ask somebody who may to run: apt-get install ${missing[*]}"
    as_root=(sudo)
  fi
  local apt=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=600
             -o Acquire::Retries=3 --quiet --quiet)
  mkdir -p "$top/build"
  local log="$top/build/apt.log"
  "${apt[@]}" update </dev/null >"$log" 2>&1 ||
    { tail -n 5 "$log" >&2; fail "the list of Debian packages could not be fetched (is there a" \
        "network?); the messages are in build/apt.log."; }
  "${apt[@]}" install --yes --no-install-recommends "${missing[@]}" </dev/null >>"$log" 2>&1 ||
    { tail -n 5 "$log" >&2; fail "these Debian packages could not be installed: ${missing[*]};" \
        "the messages are in build/apt.log. The command is made for Debian 12" \
        "(this is $(. /etc/os-release 2>/dev/null; echo "${PRETTY_NAME:-something else}"))."; }
}
