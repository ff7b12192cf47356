package report_test

import (
	"errors"
	"math"
	"strconv"
	"testing"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

// Readers see what ranking.csv holds, cell by cell.
func TestReaderGivesTheRanking(t *testing.T) {
	const demo = "../../testdata/demo.csv"
	rows, _ := ranked(t, demo)
	e, run := screened(t, demo)
	r := report.Ranking(e, run, false)
	fields := r.Columns
	k := 0
	err := r.Each(report.View{}, func(_ *ingest.Building, values []any) error {
		k++
		for i, v := range values {
			cell, same := rows[k][i], false
			switch x := v.(type) {
			case nil:
				same = cell == ""
			case string:
				same = fields[i].Kind == report.Text && (cell == x || cell == "'"+x)
			case int64:
				same = fields[i].Kind == report.Whole && cell == strconv.FormatInt(x, 10)
			case float64:
				same = fields[i].Kind == report.Real && cell == strconv.FormatFloat(x, 'f', fields[i].Decimals, 64) && !(x == 0 && math.Signbit(x))
			}
			if !same {
				t.Fatalf("%s, row %d: %#v, ranking.csv has %q", fields[i].Name, k, v, cell)
			}
		}
		return nil
	})
	if err != nil || k != len(rows)-1 {
		t.Errorf("%d rows of %d, %v", k, len(rows)-1, err)
	}
	for i, f := range fields {
		if f.Name != rows[0][i] || f.Label == "" || f.Extra != (i >= len(fields)-len(run.Source.Names().Extras)) {
			t.Errorf("column %d: %+v, ranking.csv has %s", i, f, rows[0][i])
		}
	}
}

func TestReaderViews(t *testing.T) {
	e, run := screened(t, "../../testdata/demo.csv")
	r := report.Ranking(e, run, true)
	var ids []string
	labels := map[string]bool{}
	for _, s := range e.Strategies() {
		labels[s.Label] = true
	}
	at := map[string]int{}
	for i, f := range r.Columns {
		at[f.Name] = i
	}
	if err := r.Each(report.View{Best: true, Places: []int{0, 1, 2, 3, 4}}, func(b *ingest.Building, values []any) error {
		ids = append(ids, b.ID)
		if values[at["rank_in_building"]] != int64(1) || values[at["overall_rank"]] != int64(len(ids)) || values[at["building_id"]] != b.ID {
			t.Errorf("%v", values)
		}
		if name := values[at["strategy"]].(string); !labels[name] {
			t.Errorf("%q is no label", name)
		}
		return nil
	}); err != nil || len(ids) != 5 {
		t.Errorf("%q, %v", ids, err)
	}
	stop := errors.New("stop")
	if err := r.Each(report.View{}, func(*ingest.Building, []any) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("%v", err)
	}
}

func TestUnguarded(t *testing.T) {
	for text, want := range map[string]string{"'=1+1": "=1+1", "'@x": "@x", "'tis": "'tis", "'-5": "'-5", "=1": "=1", "'": "'", "": ""} {
		if got := report.Unguarded(text); got != want {
			t.Errorf("%q becomes %q, expected %q", text, got, want)
		}
	}
}

// Readiness stands beside the verdict it belongs to: that of the building beside
// its best strategy, that of another strategy beside that one, and none beside what
// is not to be built while something else is.
func TestReadinessIsThatOfTheRow(t *testing.T) {
	e, run := screened(t, "../../testdata/demo.csv")
	r := report.Ranking(e, run, false)
	at := map[string]int{}
	for i, f := range r.Columns {
		at[f.Name] = i
	}
	of := map[string]string{}
	if err := run.Each(run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		of[row.Building.ID] = report.Ready(e, row).String()
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	apart := 0
	if err := r.Each(report.View{}, func(b *ingest.Building, values []any) error {
		ready, best := values[at["readiness"]], values[at["rank_in_building"]] == int64(1)
		switch verdict := values[at["verdict"]]; {
		case best && ready != of[b.ID]:
			t.Errorf("%s: %v beside the best, expected %s", b.ID, ready, of[b.ID])
		case !best && (ready == nil) != (verdict == "not suited" || verdict == "warning only"):
			t.Errorf("%s: %v beside %v", b.ID, ready, verdict)
		case verdict == "survey first" && ready != "investigate first":
			t.Errorf("%s: %v beside %v", b.ID, ready, verdict)
		case !best && ready != nil && ready != of[b.ID]:
			apart++
		}
		return nil
	}); err != nil || apart == 0 {
		t.Errorf("%d rows differ from the best, %v", apart, err)
	}
}
