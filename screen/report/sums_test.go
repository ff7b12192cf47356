package report_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/screen/report"
)

// The savings of the groups add up to that of all, which is what the sentence says, what
// run.json has, and what somebody gets who adds up ranking.csv. In other units or in
// money, where rounded parts may not, the table says so.
func TestSavingsAddUp(t *testing.T) {
	for name, flags := range map[string]map[string]any{
		"si": {"run.tier": config.TierSteady}, "ip, money": {"run.tier": config.TierSteady, "output.units": config.UnitsIP, "energy.price_per_kwh": 0.137},
	} {
		l, err := config.Load(config.Inputs{Flags: flags})
		if err != nil {
			t.Fatal(err)
		}
		e, run := screenedBy(t, l, demoCSV)
		trades, err := report.WriteWorks("", e, run)
		if err != nil {
			t.Fatal(err)
		}
		grids := report.Grids(e, run, trades)
		g := grids[slices.IndexFunc(grids, func(g report.Grid) bool { return g.Name == "groups" })]
		for i, h := range g.Heads[1:] {
			sum := 0.0
			for _, row := range g.Rows {
				switch x := row[i+1].(type) {
				case int:
					sum += float64(x)
				case float64:
					sum += x
				}
			}
			all, whole := g.Foot[i+1].(float64)
			if !whole {
				all = float64(g.Foot[i+1].(int))
			}
			said := strings.Contains(g.Note, "The last digit of "+h.Title+" in all")
			if said != (sum != all) || math.Abs(sum-all) > float64(len(g.Rows)) || name == "si" && said {
				t.Errorf("%s: %s: the rows add up to %v, the foot says %v; the note: %s", name, h.Title, sum, all, g.Note)
			}
		}
		if name != "si" {
			continue
		}
		dir := t.TempDir()
		if err := report.WriteRanking(dir, e, run, report.RankingCSV); err != nil {
			t.Fatal(err)
		}
		f, err := os.Open(filepath.Join(dir, report.RankingCSV))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		rows, err := csv.NewReader(f).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		at := func(name string) int { return slices.Index(rows[0], name) }
		sum := 0.0
		for _, r := range rows[1:] {
			if kWh, err := strconv.ParseFloat(r[at("saved_kwh_a")], 64); err == nil && r[at("rank_in_building")] == "1" && strings.HasPrefix(r[at("verdict")], "suited") {
				sum += kWh
			}
		}
		digits := strconv.FormatFloat(sum, 'f', 0, 64)
		if said := strings.ReplaceAll(report.Together(e, run), ",", ""); g.Foot[len(g.Foot)-1] != sum || run.Together != sum || report.Summarise(run).SavedKWh != sum || !strings.Contains(said, "save "+digits+" kWh/a") {
			t.Errorf("the file adds up to %v, the foot says %v, run.json %v; %s", sum, g.Foot[len(g.Foot)-1], run.Together, said)
		}
	}
}
