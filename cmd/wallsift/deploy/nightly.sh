#!/bin/sh
# One night: put the tables of the day before aside, screen, say what moved. The
# exit code is that of the screening. nightly.env names the variables.
set -u

# A second start on the same day must compare with the same tables as the first,
# so only tables that are not of today are put aside.
put_aside() {
	[ -f "$RESULTS/run.json" ] || return 0
	[ "$(date -r "$RESULTS/run.json" +%F)" != "$(date +%F)" ] || return 0
	rm -rf "$BEFORE.new" &&
		cp -R "$RESULTS" "$BEFORE.new" &&
		rm -rf "$BEFORE" &&
		mv "$BEFORE.new" "$BEFORE"
}

put_aside || echo "nightly: the tables of the day before could not be put aside" >&2

"$COMMAND" screen --config "$SCREENING_CONFIG" --out "$RESULTS" --store "$STORE" "$INVENTORY"
code=$?

# 3: there are new tables, but rows were left out beyond what is allowed.
if [ $code -eq 0 ] || [ $code -eq 3 ]; then
	if [ -d "$BEFORE" ]; then
		"$COMMAND" compare "$BEFORE" "$RESULTS" || echo "nightly: the two nights could not be compared" >&2
	else
		echo "nightly: no night before to compare with"
	fi
fi
exit $code
