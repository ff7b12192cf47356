package report

import (
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// Figures that mean nothing are not printed, and what is beside a limit is never
// rounded onto it.
func TestShareOfTheLimit(t *testing.T) {
	for u, want := range map[float64]string{
		0: "below 1 %", 0.004: "below 1 %", 0.005: "1 %", 0.104: "10 %", 0.994: "99 %", 0.9999: "99 %", 1: "100 %", 1.0001: "101 %", 1.26: "126 %",
		3.99: "399 %", FarBeyond: "far beyond", indicator.MaxUtilisation: "far beyond", screen.NotJudged: "not judged",
	} {
		if got := Share(u); got != want {
			t.Errorf("%v is printed %q, expected %q", u, got, want)
		}
	}
	j := screen.Judgement{HasGovern: true, Typical: 0.5, Low: 0.251, High: FarBeyond}
	if got := Spread(&j); got != "50 % (25 to far beyond)" {
		t.Error(got)
	}
}

// A chance is a range, open ends are said, and a threshold within is marked.
func TestChanceIsARange(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		near      bool
		want      string
	}{
		{0, 0.001, false, "below 1 %"}, {0, 0.03, false, "below 3 %"}, {0.1, 0.25, false, "10–25 %"}, {0.05, 0.12, true, "5–12 %, near"},
		{0.94, 1, false, "above 94 %"}, {1, 1, false, "above 99 %"}, {0.3, 0.3, false, "30 %"}, {0, 1, true, "not settled, near"},
	} {
		j := screen.Judgement{Chance: 0.5, ChanceLow: c.low, ChanceHigh: c.high, Near: c.near}
		if got := Chance(&j); got != c.want {
			t.Errorf("%v to %v: %q, expected %q", c.low, c.high, got, c.want)
		}
	}
	if got := Chance(&screen.Judgement{Chance: -1}); got != "" {
		t.Errorf("%q where nothing was drawn", got)
	}
}

// What a gate excludes is said first and without a share of a limit; timber that
// nobody has seen is not taken for seen; a measure without an answer is named.
func TestSentences(t *testing.T) {
	l, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	e, err := screen.NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	var facade uint64
	for i, g := range e.GatesOf(^uint64(0)) {
		if g.ID == "facade_protected" {
			facade = 1 << i
		}
	}
	b := &ingest.Building{}
	j := screen.Judgement{Verdict: screen.NotSuited, Excluded: true, Gates: facade, HasGovern: true, Typical: 0.12, Month: -1, Day: -1, Chance: -1}
	if got := strings.Join(Clauses(SI, e, b, &j), ""); got != "Excluded: Facade is protected: the outer face may not change." {
		t.Error(got)
	}
	if got := VerdictWords(e, &j); got != "excluded: Facade is protected" {
		t.Error(got)
	}
	if got := VerdictWords(e, &screen.Judgement{Verdict: screen.NotSuited, Bare: true}); got != "repairs alone are not enough" {
		t.Error(got)
	}
	j = screen.Judgement{HasGovern: true, Governing: indicator.TimberHumidity, Typical: 0.12, Month: -1, Day: -1, Chance: -1}
	j.Utilisation[indicator.Frost] = screen.NotJudged
	got := strings.Join(Clauses(SI, e, b, &j), "")
	if want := "Nearest to its limit is humidity at embedded timber (if there is any): 12 % of it. Not judged, for a figure of the stone is missing: frost at the face."; got != want {
		t.Error(got)
	}
}

// One reason stands for another nowhere: what is over its limit in the typical case
// is not also called so in the favourable one.
func TestDoubtSaysOneThing(t *testing.T) {
	b := &ingest.Building{}
	for want, j := range map[string]screen.Judgement{
		"mould at the inner surface over its limit even in the favourable case":       {Chance: -1, Low: 1.1, Typical: 1.5, High: 2},
		"mould at the inner surface over its limit in the typical case":               {Chance: -1, Low: 1.5, Typical: 1.5, High: 1.5},
		"mould at the inner surface over its limit in the adverse case":               {Chance: -1, Low: 0.1, Typical: 0.5, High: 2},
		"chance that a limit is exceeded 10–25 %, most by mould at the inner surface": {Chance: 0.2, ChanceLow: 0.1, ChanceHigh: 0.25, Typical: 0.5},
		"": {Chance: -1, Typical: 0.5, High: 0.9},
	} {
		if got := doubt(b, &j); got != want {
			t.Errorf("%q, expected %q", got, want)
		}
	}
}

// The help of an indicator's column names a demand and a limit of every tier
// that can have judged its rows.
func TestIndicatorsAreDescribedInTheirTier(t *testing.T) {
	for id := range indicator.Count {
		both, steady := compared(id, true), compared(id, false)
		for _, tier := range []indicator.Tier{indicator.Transient, indicator.Steady} {
			want := tier.String() + " tier: not judged"
			if info := id.In(tier); info.Demand != "" {
				want = tier.String() + " tier: " + info.Demand + " over " + info.Limit
			}
			if !strings.Contains(both, want) {
				t.Errorf("%s: %q lacks %q", id.Info().Name, both, want)
			}
		}
		if strings.Contains(steady, "transient") || strings.HasPrefix(steady, " over") {
			t.Errorf("%s: %q in a steady run", id.Info().Name, steady)
		}
	}
}

// The hourly tier runs a wall once, so that it has one figure for an indicator;
// the steady tier has three cases.
func TestExplainPrintsAsManyFiguresAsThereAre(t *testing.T) {
	l, err := config.Load(config.Inputs{Flags: map[string]any{"run.tier": config.TierSteady}})
	if err != nil {
		t.Fatal(err)
	}
	e, err := screen.NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		hourly *screen.HourlyWorking
		head   string
		cell   string
	}{{nil, "share of the limit (favourable to adverse)", "50 % (25 % to far beyond)"}, {&screen.HourlyWorking{}, "share of the limit", "50 %"}} {
		w := &screen.Working{Hourly: c.hourly, Monthly: indicator.Monthly{Limits: &indicator.Limits{}}}
		if c.hourly != nil {
			w.Judgement.Tier = indicator.Transient
		}
		for s, limit := range []float64{4, 2, 0} {
			w.Results[s][indicator.SurfaceMould] = indicator.Compare(1, limit, 0)
		}
		got := indicators(SI, e, &ingest.Building{}, w)
		if len(got.Rows) != 1 || got.Columns[4] != c.head || got.Rows[0][4] != c.cell {
			t.Errorf("%q, %v; expected %q, %q", got.Columns, got.Rows, c.head, c.cell)
		}
	}
}

// Sentences about one building read as such.
func TestTogetherOfFewBuildings(t *testing.T) {
	l, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	e, err := screen.NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		run  screen.Run
		want string
	}{
		{screen.Run{}, "0 buildings have a strategy that is suited or suited after repairs."},
		{screen.Run{Sums: screen.Sums{BestBy: [screen.NumVerdicts]int{1}, Measured: 1, Together: 4321}}, "1 building has a strategy that is suited or suited after repairs. Together they save 4,321 kWh/a, heat through the wall, not a fuel bill, over the 1 whose wall area is given."},
		{screen.Run{Sums: screen.Sums{BestBy: [screen.NumVerdicts]int{0, 1}, BareBest: 1}}, "1 building has a strategy that is suited or suited after repairs; at 1 of them it is repairs alone."},
		{screen.Run{Sums: screen.Sums{BestBy: [screen.NumVerdicts]int{2, 1}, BareBest: 1}}, "3 buildings have a strategy that is suited or suited after repairs; at 1 of them it is repairs alone."},
	} {
		if got := Together(e, &c.run); got != c.want {
			t.Errorf("%q, expected %q", got, c.want)
		}
	}
}
