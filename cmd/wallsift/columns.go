package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
)

// accepts says what a cell may hold.
func accepts(c *ingest.Column) string {
	number := func(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }
	switch c.Kind {
	case ingest.KindNumber:
		return strings.TrimSpace(fmt.Sprintf("%s to %s %s", number(c.Min), number(c.Max), c.SI))
	case ingest.KindCategory:
		return strings.Join(c.Words(), ", ")
	case ingest.KindDate:
		return "a date as 2019-04-30; under " + c.Name + "_dmy as 30/04/2019, under " + c.Name + "_mdy as 04/30/2019"
	case ingest.KindFacings:
		return "points of the compass or degrees, as N/E/S or 0 90 180; front_back; all"
	case ingest.KindStone:
		return "an id or label of: wallsift list materials"
	case ingest.KindZone:
		return "an id or label of: wallsift list zones, wallsift list stations"
	}
	return "text"
}

// headerIn picks the canonical header of a column in the user's units.
func headerIn(c *ingest.Column, units string) string {
	if len(c.Units) == 0 || c.UnitOptional {
		return c.Name
	}
	pick := c.Units[0]
	for _, u := range c.Units {
		if units == config.UnitsIP && slices.Contains([]string{"in", "ft", "ft2"}, u.Suffix) {
			pick = u
			break
		}
	}
	return c.Name + "_" + pick.Suffix
}
