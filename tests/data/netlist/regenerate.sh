#!/bin/sh
# Makes the decks of the demo's DRIVE and BRAKE and the voltages ngspice finds in them anew. Needs cargo and ngspice.
set -eu
cd "$(dirname "$0")"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
crimpbook() { cargo run -q -p crimpbook -- "$@"; }
crimpbook new "$work/demo.crimpbook" --from ../../../demo/marrowby-pipit.json > "$work/made"
for state in DRIVE BRAKE; do
    crimpbook export --netlist --state "$state" "$work/demo.crimpbook" > "$state.cir"
    SPICE_ASCIIRAWFILE=1 ngspice -b -r "$work/raw" "$state.cir" > "$work/log" 2>&1 || { cat "$work/log"; exit 1; }
    {
        echo "# $(ngspice --version | sed -n 's/^[* ]*\(ngspice-[0-9.]*\).*/\1/p' | head -n 1), deck $state.cir"
        echo "node,volts"
        awk 'BEGIN { n = 0; m = 0 }
            /^Variables:/ { part = 1; next } /^Values:/ { part = 2; next }
            part == 1 && $2 ~ /^v\(/ { name[n++] = substr($2, 3, length($2) - 3); next }
            part == 1 && NF > 1 { name[n++] = ""; next }
            part == 2 && NF { if (name[m] != "") print name[m] "," $NF; m++ }' "$work/raw"
    } > "$state.csv"
done
