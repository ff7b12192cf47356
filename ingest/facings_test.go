package ingest

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestFacings(t *testing.T) {
	for _, c := range []struct {
		cell        string
		orientation float64
		want        string // Facings.String, or part of the reason after "!"
	}{
		{"N", math.NaN(), "N"},
		{"n/e", math.NaN(), "N E"},
		{"SW, NNE", math.NaN(), "NNE SW"},
		{"N+E+S+W", math.NaN(), "N E S W"},
		{"0 90 180°", math.NaN(), "N E S"},
		{"360", math.NaN(), "N"},
		{"11.2", math.NaN(), "N"},
		{"11.25", math.NaN(), "NNE"},
		{"355", math.NaN(), "N"},
		{"north-east", math.NaN(), "NE"},
		{"North/East", math.NaN(), "N E"},
		{"north, east", math.NaN(), "N E"},
		{"North East", math.NaN(), "!one direction or two"},
		{"all", math.NaN(), "all"},
		{"front_back", 225, "NE SW"},
		{"Front and back", 10, "N S"},
		{"front_back", math.NaN(), ""},
		{"unknown", 225, ""},
		{"N, left", math.NaN(), "!were expected"},
		{"400", math.NaN(), "!were expected"},
		{"-10", math.NaN(), "!were expected"},
		{"NaN", math.NaN(), "!were expected"},
		{"/", math.NaN(), "!were expected"},
	} {
		f, p := parseFacings(c.cell, c.orientation)
		if reason, bad := strings.CutPrefix(c.want, "!"); bad != p.bad() || bad && !strings.Contains(p.reason, reason) || !bad && f.String() != c.want {
			t.Errorf("%q at %v: %q %+v, want %q", c.cell, c.orientation, f, p, c.want)
		}
	}
	for f := range 1 << 16 {
		f := Facings(f)
		got, p := parseFacings(f.String(), math.NaN())
		if f != 0 && (got != f || p.bad()) {
			t.Fatalf("%q reads as %q", f, got)
		}
		var sum Facings
		for _, a := range f.Azimuths() {
			sum |= FacingOf(a)
		}
		if sum != f {
			t.Fatalf("%v: azimuths %v", f, f.Azimuths())
		}
	}
}

func TestColumnsOfHomes(t *testing.T) {
	res := readText(t, testOptions, table(requiredHeader+",home_id,exposed_facings,orientation,timber_state,inner_damp,built_year",
		row("a", "H1", "front_back", "N", "decayed", "signs", "1874"), row("b", "", "", "", "", "", "")))
	if len(res.rejects) > 0 || len(res.rows) != 2 {
		t.Fatalf("%+v", res.rejects)
	}
	a, b := res.rows[0], res.rows[1]
	if a.Home != "H1" || !slices.Equal(a.Facings.Azimuths(), []float64{0, 180}) || TimberState.Levels()[a.Cat[TimberState]] != "decayed" ||
		InnerDamp.Levels()[a.Cat[InnerDamp]] != "signs" || a.Num[BuiltYear] != 1874 {
		t.Errorf("%+v", a)
	}
	if b.Home != "" || b.Facings != 0 || b.Cat[TimberState] != 0 || !math.IsNaN(b.Num[BuiltYear]) {
		t.Errorf("%+v", b)
	}
}
