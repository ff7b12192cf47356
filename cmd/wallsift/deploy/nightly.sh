#!/bin/sh
# One night: put the tables of the night before aside, screen, say what moved. The
# exit code is that of the screening. nightly.env names the variables.
set -u

# A second start in the same night must compare with the same tables as the first,
# also past midnight and however long the first one ran: where tables were put
# aside, or made for the first time, within twelve hours, that was this night.
put_aside() {
	[ -f "$RESULTS/run.json" ] || return 0
	last=$BEFORE
	[ -d "$last" ] || last=$RESULTS/run.json
	[ -z "$(find "$last" -prune -mmin -720)" ] || return 0
	rm -rf "$BEFORE.new" &&
		cp -R "$RESULTS" "$BEFORE.new" &&
		rm -rf "$BEFORE" &&
		mv "$BEFORE.new" "$BEFORE"
}

put_aside || echo "nightly: the tables of the night before could not be put aside" >&2

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
