package screen_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"wallsift/ingest"
	"wallsift/screen"
)

// A strategy that is suited while a fact is missing must be suited, after
// repairs at worst, whatever the fact turns out to be. Else a gap in the
// inventory would be better than knowledge.

func TestSuitedWithoutOrientationIsSuitedInAll(t *testing.T) {
	e := defaults()
	rapid.Check(t, func(t *rapid.T) {
		b := draw(t)
		b.Num[ingest.Orientation] = math.NaN()
		open := judge(e, b)
		b.Num[ingest.Orientation] = float64(rapid.IntRange(0, 359).Draw(t, "facing"))
		noBetterThan(t, open, judge(e, b), fmt.Sprintf("facing %v", b.Num[ingest.Orientation]))
	})
}

// openLimits are the fields for which this does not hold yet, and why.
var openLimits = map[string]string{
	"embedded_timber": "known limit: the corners are mixed, so timber at a known shallow depth in a typical wall can exceed the adverse corner by a hair",
	"outer_finish":    "known limit: a finish that is not known is judged as bare; renders, which take up more rain than dense stone, do worse",
	"inner_finish":    "known limit: an inner finish that is not known is judged as lime plaster; a bare face or cement plaster can do worse",
	"salts":           "known limit: salts that are not known are judged as looked at and reduced; heavy salts ask for a survey before a face is impregnated",
}

func TestSuitedWithFactUnknownIsSuitedWhateverItIs(t *testing.T) {
	for c := range ingest.NumCategories {
		if c == ingest.Exposure {
			continue // never unknown
		}
		t.Run(c.Name(), func(t *testing.T) {
			if why, open := openLimits[c.Name()]; open {
				t.Skip(why)
			}
			checkUnknown(t, c.Name())
		})
	}
}

func checkUnknown(t *testing.T, field string) {
	e := defaults()
	c, _ := ingest.LookupCategory(field)
	levels := c.Levels()[1:]
	if c == ingest.HumidityClass {
		levels = []string{"2", "3"} // those that lie wholly below the middle of class 4, where indoor.default_humidity_class ends
	}
	rapid.Check(t, func(t *rapid.T) {
		b := with(draw(t), facts{field: "unknown"})
		open := judge(e, b)
		for _, level := range levels {
			noBetterThan(t, open, judge(e, with(b, facts{field: level})), level)
		}
	})
}

func noBetterThan(t *rapid.T, open, known *answer, what string) {
	for id, j := range known.by {
		if o := open.by[id]; o.Verdict <= screen.SuitedAfterRepairs && j.Verdict > screen.SuitedAfterRepairs {
			t.Errorf("%s: %v (%.3f to %.3f) when it is not known, %v (%.3f to %.3f, %s) when it is %s", id, o.Verdict, o.Low, o.High,
				j.Verdict, j.Low, j.High, j.Governing.Info().Name, what)
		}
	}
}
