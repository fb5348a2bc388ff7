# Messages of the set-up commands. Sourced, not run.

say() { printf '%s\n' "$*"; }

# What the next step is, with the time, so that a slow step is seen to be slow.
step() { printf '\n[%s] %s\n' "$(date +%H:%M:%S)" "$*"; }

# One plain sentence, then stop.
fail() {
  printf '\n%s: %s\n' "${program:-tools}" "$*" >&2
  exit 1
}
