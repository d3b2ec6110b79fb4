#!/bin/sh
# Writes odds.jsonl anew: the odds after findings, by a Bayesian network library that knows nothing of Bluecone.
# Needs python3 with venv, the network, and a pressed demo handbook: make.sh SITE. Run it in this folder.
set -eu
site=$(cd "$1" && pwd)
work=$(mktemp -d)
trap 'rm -r "$work"' EXIT
python3 -m venv "$work/python"
"$work/python/bin/pip" install --quiet pyagrum==3.3.1
"$work/python/bin/python" odds.py "$site" >"$work/odds.jsonl"
mv "$work/odds.jsonl" odds.jsonl
