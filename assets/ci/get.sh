#!/bin/sh
# Puts the program `chalkfield` into the project's folder: a binary kept in tools/, or one built from its source.
set -eu
if [ -x tools/chalkfield ]; then
  cp tools/chalkfield chalkfield
elif [ -n "${CHALKFIELD_SOURCE:-}" ]; then
  rm -rf .chalkfield-source
  git clone --depth 1 "$CHALKFIELD_SOURCE" .chalkfield-source
  (cd .chalkfield-source && CGO_ENABLED=0 go build -o ../chalkfield .)
else
  echo "ci/get.sh: keep the program in tools/chalkfield, or give CHALKFIELD_SOURCE the address of its source" >&2
  exit 2
fi
