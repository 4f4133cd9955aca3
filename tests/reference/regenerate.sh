#!/usr/bin/env bash
# Makes the tables of this folder anew from the libraries pinned in make/.
#   tests/reference/regenerate.sh OUTDIR
# Needs python3 (3.11 or later) with venv; all else, Node among it, is installed into a temporary folder.
set -euo pipefail

[ $# = 1 ] || { echo "usage: $0 OUTDIR, the folder the tables are written into" >&2; exit 2; }
mkdir -p "$1"
out="$(cd "$1" && pwd)"
make="$(cd "$(dirname "$0")" && pwd)/make"
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT

python3 -m venv "$work/venv"
export PATH="$work/venv/bin:$PATH"
pip install --quiet --disable-pip-version-check --no-deps --only-binary :all: -r "$make/requirements.txt"
cp "$make/package.json" "$make/package-lock.json" "$work"
(cd "$work" && npm ci --silent --ignore-scripts --no-audit --no-fund)

# A home of their own, because a library may keep settings there; their hints are shown only when a generator fails.
export HOME="$work" PYTHONDONTWRITEBYTECODE=1 NODE_PATH="$work/node_modules"
generate() {
  "$@" "$out" 2>"$work/errors" || { cat "$work/errors" >&2; echo "failed: $*" >&2; exit 1; }
}
for table in pitch neck keys kinds symbols; do
  generate python "$make/$table.py"
done
generate node "$make/tonal.cjs"
generate node "$make/acting.cjs"
generate python "$make/suffixes.py"
generate node "$make/fingerings.cjs"
