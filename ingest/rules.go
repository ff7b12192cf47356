package ingest

import (
	"fmt"
	"strings"

	"golang.org/x/text/unicode/norm"
)

// rules hold everything that is needed to judge a cell. They are built once
// and never change, so any number of goroutines may use them.
type rules struct {
	cats    [NumCategories]*vocabulary[uint8]
	stones  *vocabulary[string] // nil: accept anything
	zones   *vocabulary[string]
	aliases map[*Column]map[string]string // numbers, dates and texts, folded
}

func newRules(opt Options) (*rules, error) {
	r := &rules{aliases: map[*Column]map[string]string{}}
	byField := map[string]map[string]string{}
	for _, field := range sortedKeys(opt.Aliases) {
		t, ok := canonical[fold(field)]
		if !ok {
			return nil, fmt.Errorf("alias: %q is not a known column%s", field, didYouMean(field, columnNames()))
		}
		name := catalogue[t.col].Name
		if byField[name] == nil {
			byField[name] = map[string]string{}
		}
		for from, to := range opt.Aliases[field] {
			byField[name][strings.TrimSpace(from)] = strings.TrimSpace(to)
		}
	}
	for i := range catalogue {
		c := &catalogue[i]
		a := byField[c.Name]
		var err error
		switch c.role {
		case roleCategory:
			r.cats[c.slot], err = levels(c, a)
		case roleStone:
			r.stones, err = terms(c, opt.Stones, a)
		case roleZone:
			r.zones, err = terms(c, opt.Zones, a)
		case roleID:
			if len(a) > 0 {
				err = fmt.Errorf("alias for %s: an id has no other spellings", c.Name)
			}
		}
		if err != nil {
			return nil, err
		}
		plainText := c.role == roleNumber || c.role == roleText || c.role == roleDate || c.role == roleFacings ||
			c.role == roleStone && r.stones == nil || c.role == roleZone && r.zones == nil
		if plainText && len(a) > 0 {
			folded := map[string]string{}
			for from, to := range a {
				folded[from] = to
				if key := aliasKey(c, from); key != "" {
					folded[key] = to
				}
			}
			r.aliases[c] = folded
		}
	}
	return r, nil
}

// aliasKey is what a cell and an alias of a column without a vocabulary are
// compared by. In numbers and dates punctuation counts: an alias for "1,5" must
// not catch 15, nor one for "2½" catch 2.
func aliasKey(c *Column, s string) string {
	if c.role == roleNumber || c.role == roleDate {
		return strings.ToLower(strings.Join(strings.Fields(norm.NFC.String(s)), ""))
	}
	return fold(s)
}

func columnNames() []string {
	out := make([]string, len(catalogue))
	for i, c := range catalogue {
		out[i] = c.Name
	}
	return out
}
