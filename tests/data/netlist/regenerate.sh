#!/bin/sh
# Writes the exported decks anew and finds the voltages of every deck with ngspice. Needs cargo and ngspice.
# by-hand/*.cir and by-hand/pipit.inc stay as they are: only their wires' temperatures are written anew.
set -eu
cd "$(dirname "$0")"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
rm -f demo/*.cir generated/*.cir
CRIMPBOOK_WRITE_DECKS=1 cargo test -q -p crimpbook-tests --test netlist > "$work/wrote" || { cat "$work/wrote"; exit 1; }
version=$(ngspice --version | sed -n 's/^[* ]*\(ngspice-[0-9.]*\).*/\1/p' | head -n 1)
rm -f demo/*.csv generated/*.csv by-hand/*.csv
for deck in demo/*.cir generated/*.cir by-hand/*.cir; do
    SPICE_ASCIIRAWFILE=1 ngspice -b -r "$work/raw" "$deck" > "$work/log" 2>&1 || { cat "$work/log"; exit 1; }
    {
        echo "# $version, deck $(basename "$deck")"
        echo "node,volts"
        awk 'BEGIN { n = 0; m = 0 }
            /^Variables:/ { part = 1; next } /^Values:/ { part = 2; next }
            part == 1 && $2 ~ /^v\(/ { name[n++] = substr($2, 3, length($2) - 3); next }
            part == 1 && NF > 1 { name[n++] = ""; next }
            part == 2 && NF { if (name[m] != "") print name[m] "," $NF; m++ }' "$work/raw"
    } > "${deck%.cir}.csv"
done
