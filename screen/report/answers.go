package report

import (
	"maps"
	"slices"
	"strings"

	"wallsift/ingest"
	"wallsift/screen"
)

// answers says, by field, where in the inventory what was found out is entered
// and what is taken there. A header of the user's own is named where it fills
// that field alone.
func answers(e *screen.Engine) map[string]string {
	own, headers := map[string]string{}, e.InputOptions().Columns
	for _, from := range slices.Sorted(maps.Keys(headers)) {
		if to := headers[from]; len(to) == 1 {
			own[to[0]] = from + " (" + to[0] + ")"
		}
	}
	out := map[string]string{}
	for _, c := range ingest.Columns() {
		where, takes := either(c.Headers()), c.Help
		for _, h := range c.Headers() {
			if own[h] != "" {
				where = own[h]
			}
		}
		if c.Kind == ingest.KindCategory {
			takes = either(c.Levels[1:])
		}
		out[c.Name] = where + ": " + takes
	}
	return out
}

func either(words []string) string {
	if n := len(words) - 1; n > 0 {
		return strings.Join(words[:n], ", ") + " or " + words[n]
	}
	return strings.Join(words, "")
}
