#!/bin/sh
# Writes reference.tsv anew: every unit of units.tsv in SI base units, by two libraries that know nothing of Bluecone.
# Needs python3 with venv, node with npm, and the network. Run it in this folder.
set -eu
here=$(pwd)
work=$(mktemp -d)
trap 'rm -r "$work"' EXIT
python3 -m venv "$work/python"
"$work/python/bin/pip" install --quiet pint==0.25.3
(cd "$work" && npm init --yes >/dev/null && npm install --silent @lhncbc/ucum-lhc@7.1.10)
NODE_PATH="$work/node_modules" node ucum.js <units.tsv >"$work/ucum.tsv"
"$work/python/bin/python" pint_units.py <units.tsv >"$work/pint.tsv"
{
    echo "# Made by make.sh with @lhncbc/ucum-lhc 7.1.10 and pint 0.25.3. A dash: the library has no such unit."
    echo "# unit	number	in SI base units	by ucum-lhc	by pint"
    paste "$work/ucum.tsv" "$work/pint.tsv"
} >"$here/reference.tsv"
