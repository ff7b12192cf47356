package report

import (
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// Figures that were cut are never printed as if they had been measured.
func TestCutUtilisationsAreMarked(t *testing.T) {
	steady, sampled := screen.Judgement{Typical: 0.5, Chance: -1}, screen.Judgement{Typical: 0.5, Chance: 0.3}
	far := screen.Judgement{Typical: 12.5, Chance: 1}
	for _, c := range []struct {
		got, want string
	}{
		{Used(0.104), "0.10"}, {Used(4), "4.00"}, {Used(98.9), "98.90"}, {Used(indicator.MaxUtilisation), "99+"},
		{UsedEnd(&steady, 4), "4.00"}, {UsedEnd(&steady, indicator.MaxUtilisation), "99+"},
		{UsedEnd(&sampled, 3.99), "3.99"}, {UsedEnd(&sampled, MostSampled), "4+"}, {UsedEnd(&sampled, MostSampled-1e-9), "4+"},
		{UsedEnd(&far, MostSampled), "4+"}, {UsedEnd(&far, 12.5), "12.50"}, // stretched to the typical case
	} {
		if c.got != c.want {
			t.Errorf("%q is printed, expected %q", c.got, c.want)
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
	}{{nil, "utilisation (favourable to adverse)", "0.50 (0.25 to 99+)"}, {&screen.HourlyWorking{}, "utilisation", "0.50"}} {
		w := &screen.Working{Hourly: c.hourly}
		if c.hourly != nil {
			w.Judgement.Tier = indicator.Transient
		}
		for s, limit := range []float64{4, 2, 0} {
			w.Results[s][indicator.SurfaceMould] = indicator.Compare(1, limit, 0)
		}
		got := indicators(&siUnits, e, w)
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
		{screen.Run{BestBy: [screen.NumVerdicts]int{1}, Measured: 1, Together: 4321}, "1 building has a strategy that is suited or suited after repairs. It saves 4,320 kWh/a."},
		{screen.Run{BestBy: [screen.NumVerdicts]int{0, 1}, BareBest: 1}, "1 building has a strategy that is suited or suited after repairs; it is repairs alone."},
		{screen.Run{BestBy: [screen.NumVerdicts]int{2, 1}, BareBest: 1}, "3 buildings have a strategy that is suited or suited after repairs; at 1 of them it is repairs alone."},
	} {
		if got := Together(e, &c.run); got != c.want {
			t.Errorf("%q, expected %q", got, c.want)
		}
	}
}
