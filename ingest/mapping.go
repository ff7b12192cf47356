package ingest

import (
	"fmt"
	"slices"
	"strings"
)

// headerMap is Options.Columns, folded: what each header fills. A header that
// is left alone fills nothing and has a single target, rideAlong.
type headerMap map[string][]target

// newHeaderMap folds the user's column names and checks what they point to.
func newHeaderMap(columns map[string][]string) (headerMap, error) {
	m := headerMap{}
	spelt := map[string]string{}
	for _, from := range sortedKeys(columns) {
		key := fold(from)
		if key == "" {
			return nil, fmt.Errorf("column mapping: %q has no letter or digit to match a header by", from)
		}
		if old, ok := spelt[key]; ok {
			return nil, fmt.Errorf("column mapping: %q is mapped twice, the other time as %q (upper case, spaces and punctuation do not count); spell both alike if the column is to fill both", from, old)
		}
		spelt[key] = from
		for _, to := range columns[from] {
			t, err := targetOf(from, to)
			if err != nil {
				return nil, err
			}
			for _, old := range m[key] {
				switch {
				case old == t:
				case old.col == rideAlong || t.col == rideAlong:
					return nil, fmt.Errorf("column mapping: %q is mapped to a column and to -, which leaves it alone; keep one of the two", from)
				case old.col == t.col:
					return nil, fmt.Errorf("column mapping: %q is mapped to %s in two ways; keep the one the column is written in", from, catalogue[t.col].Name)
				}
			}
			if !slices.Contains(m[key], t) {
				m[key] = append(m[key], t)
			}
		}
	}
	return m, nil
}

// targetOf reads what a column is mapped to.
func targetOf(from, to string) (target, error) {
	t, ok := canonical[fold(to)]
	switch {
	case strings.TrimSpace(to) == "-":
		t = target{rideAlong, noUnit}
	case !ok:
		return t, fmt.Errorf("column mapping: %q is mapped to %q, which is not a known column%s; use a canonical name, or - to leave the column alone", from, to, didYouMean(to, headerNames()))
	case t.unit == needsUnit:
		return t, fmt.Errorf("column mapping: %q is mapped to %q, which lacks a unit; use one of %s", from, to, strings.Join(catalogue[t.col].Headers(), ", "))
	}
	return t, nil
}

func headerNames() []string {
	var out []string
	for _, c := range catalogue {
		out = append(out, c.Headers()...)
	}
	return out
}

// find returns what one header fills; nothing if it rides along.
func (m headerMap) find(header string) []target {
	key := fold(header)
	if list, ok := m[key]; ok {
		if list[0].col == rideAlong {
			return nil
		}
		return list
	}
	if t, ok := canonical[key]; ok {
		return []target{t}
	}
	return nil
}

// leftAlone says whether the user mapped a header to -.
func (m headerMap) leftAlone(header string) bool {
	list := m[fold(header)]
	return len(list) > 0 && list[0].col == rideAlong
}

// complete says whether headers name every required column.
func (m headerMap) complete(headers []string) bool {
	found := map[int]bool{}
	for _, h := range headers {
		for _, t := range m.find(h) {
			if catalogue[t.col].Required {
				found[t.col] = true
			}
		}
	}
	return len(found) == numRequired
}

// score counts the required columns and then the cells of a header, to choose
// between delimiters.
func (m headerMap) score(headers []string) int {
	known := 0
	for _, h := range headers {
		if len(m.find(h)) > 0 {
			known++
		}
	}
	return known*10000 + min(len(headers), 9999)
}
