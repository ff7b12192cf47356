package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

// worklist writes the work lists of an inventory and reads them back, each line
// by column.
func worklist(t *testing.T, e *screen.Engine, run *screen.Run) (lines []map[string]string, trades *report.Trades) {
	t.Helper()
	dir := t.TempDir()
	trades, err := report.WriteWorks(dir, e, run)
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(dir, report.WorkListCSV))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		l := map[string]string{}
		for i, name := range rows[0] {
			l[name] = r[i]
		}
		lines = append(lines, l)
	}
	return lines, trades
}

const demoCSV = "../../testdata/demo.csv"

// Every building has a list, numbered from 1, under its best strategy that no
// gate excludes; ranking.csv says which that is and what it asks for.
func TestWorkListFollowsTheRanking(t *testing.T) {
	ranking, _ := ranked(t, demoCSV)
	at := map[string]int{}
	for i, name := range ranking[0] {
		at[name] = i
	}
	excludes := map[string]bool{"facade_protected": true, "tight_on_timber": true}
	best := map[string][]string{}
	var order []string
	for _, r := range ranking[1:] {
		id := r[at["building_id"]]
		out := slices.ContainsFunc(strings.Fields(r[at["gates"]]), func(g string) bool { return excludes[g] })
		if best[id] == nil && !out {
			best[id] = r
			order = append(order, id)
		}
	}
	e, run := screened(t, demoCSV)
	lines, _ := worklist(t, e, run)
	labels := map[string]string{}
	for _, s := range e.StepsOf(^uint64(0)) {
		labels[s.Label] = s.ID
	}
	var got []string
	found := map[string][2][]string{}
	number := 0
	for _, l := range lines {
		id := l["building_id"]
		if len(got) == 0 || got[len(got)-1] != id {
			got = append(got, id)
			number = 0
		}
		number++
		r := best[id]
		if l["work_order"] != strconv.Itoa(number) || l["strategy"] != r[at["strategy"]] || l["verdict"] != r[at["verdict"]] {
			t.Fatalf("%v, expected number %d, %s", l, number, r[at["strategy"]])
		}
		f := found[id]
		step, look := l["work"], l["action"] == "investigate"
		if _, after, ok := strings.Cut(step, " (where needed: "); look && ok {
			step = strings.TrimSuffix(after, ")")
		}
		switch {
		case labels[step] == "":
		case look:
			f[1] = append(f[1], labels[step])
		case l["action"] == "not now" && slices.Contains(strings.Fields(r[at["check_on_site"]]), labels[step]):
			f[1] = append(f[1], labels[step])
		default:
			f[0] = append(f[0], labels[step])
		}
		found[id] = f
		if l["thickness_most_mm"] != "" {
			want, err := strconv.ParseFloat(r[at["allowance_mm"]], 64)
			most, err2 := strconv.ParseFloat(l["thickness_most_mm"], 64)
			if err != nil || err2 != nil || want < most-0.5 || want > most+0.5 || l["limited_by"] != r[at["allowance_limited_by"]] {
				t.Errorf("%s: at most %s mm by %q, ranking.csv has %s by %q", id, l["thickness_most_mm"], l["limited_by"], r[at["allowance_mm"]], r[at["allowance_limited_by"]])
			}
		}
	}
	if !slices.Equal(got, order) {
		t.Errorf("buildings %q, ranking.csv has %q", got, order)
	}
	for id, r := range best {
		for k, name := range []string{"fix_first", "check_on_site"} {
			if list := found[id][k]; !slices.Equal(list, strings.Fields(r[at[name]])) {
				t.Errorf("%s: %s are %q, ranking.csv has %q", id, name, list, r[at[name]])
			}
		}
	}
}

// The sums are those of the lines.
func TestTradesAddUp(t *testing.T) {
	e, run := screened(t, demoCSV)
	lines, trades := worklist(t, e, run)
	ready := map[string]string{}
	type set map[string]bool
	do, look, held := map[string]set{}, map[string]set{}, map[string]set{}
	area := map[string]float64{}
	put := func(m map[string]set, stage, id string) bool {
		if m[stage] == nil {
			m[stage] = set{}
		}
		was := m[stage][id]
		m[stage][id] = true
		return !was
	}
	holds := map[string]bool{}
	for _, g := range e.GatesOf(^uint64(0)) {
		if g.Effect == config.EffectHold {
			holds[g.Reason] = true
		}
	}
	for _, l := range lines {
		id, stage := l["building_id"], l["stage"]
		ready[id] = l["readiness"]
		switch l["action"] {
		case "do":
			if put(do, stage, id) && l["wall_area_m2"] != "" {
				x, err := strconv.ParseFloat(l["wall_area_m2"], 64)
				if err != nil {
					t.Fatal(err)
				}
				area[stage] += x
			}
			if slices.ContainsFunc(strings.Split(l["blocks"], "; "), func(s string) bool { return holds[s] }) {
				put(held, stage, id)
			}
		case "investigate", "after investigation":
			put(look, stage, id)
		}
	}
	sum := map[string]int{}
	for _, r := range ready {
		sum[r]++
	}
	for r := range screen.NumReadiness {
		if trades.Sum(r) != sum[r.String()] {
			t.Errorf("%v: %d buildings, the lines say %d", r, trades.Sum(r), sum[r.String()])
		}
	}
	total := 0
	for _, s := range trades.Stages {
		id := s.Stage.ID
		if s.Do != len(do[id]) || s.Look != len(look[id]) || s.Held != len(held[id]) || s.Area < area[id]-1 || s.Area > area[id]+1 {
			t.Errorf("%s: %+v, the lines say %d, %d, %d, %v m²", id, s, len(do[id]), len(look[id]), len(held[id]), area[id])
		}
		total += s.Do + s.Look
	}
	if total == 0 || sum["start now"] == 0 || sum["repair first"] == 0 || sum["investigate first"] == 0 || sum["no measure passes"] == 0 {
		t.Errorf("the demo shows too little: %v", sum)
	}
	// The first table counts the same, beside the verdicts.
	glance := report.Grids(e, run, trades)[0]
	for v, row := range glance.Rows {
		all := 0
		for _, n := range row[2:] {
			all += n.(int)
		}
		if row[1] != all || all != run.BestBy[v] {
			t.Errorf("%v: %d by readiness, %d by verdict", row, all, run.BestBy[v])
		}
	}
}

// Why names a fact of the inventory and what it is; units stand in headers.
func TestWorkListSaysWhy(t *testing.T) {
	path := filepath.Join(t.TempDir(), "one.csv")
	text := `building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,protected_facade,outer_finish,joint_condition,inner_finish,inner_condition,rainwater_goods,ground_moisture,salts,drain_outlet,humidity_class,orientation_deg,wall_area_m2,group_key
=1+1,610,granite_rubble,4c,moderate,none,yes,bare,open,bare,sound,defective,,none,no,2,10,55,@SUM(A1)
`
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	e, run := screened(t, path)
	lines, _ := worklist(t, e, run)
	want := map[string][2]string{
		"Repair gutters, downpipes, sills and flashings":                                             {"rainwater goods defective", "do"},
		"Inspect: moisture at the wall base (where needed: Lower the ground or drain the wall base)": {"ground moisture not known", "investigate"},
		"Repoint in lime": {"joint condition open", "do"},
	}
	for _, l := range lines {
		// Text of the inventory that a spreadsheet would run is disarmed.
		if l["building_id"] != "'=1+1" || l["group_key"] != "'@SUM(A1)" || l["wall_area_m2"] != "55.0" {
			t.Errorf("%v", l)
		}
		if w, ok := want[l["work"]]; ok {
			if l["why"] != w[0] || l["action"] != w[1] {
				t.Errorf("%s: %s, %s; expected %v", l["work"], l["action"], l["why"], w)
			}
			delete(want, l["work"])
		}
		if l["work"] == "Repair gutters, downpipes, sills and flashings" && l["strategy"] != "repairs_only" && !strings.Contains(l["blocks"], "no insulation until gutters") {
			t.Errorf("blocks %q", l["blocks"])
		}
	}
	if len(want) > 0 {
		t.Errorf("no line for %v in %v", want, lines)
	}
}

// A line that asks for a fact says what the fact is worth, and speaks of limits
// only where they are in doubt.
func TestFactLineSaysWhatItIsWorth(t *testing.T) {
	e, run := screened(t, demoCSV)
	survey := screen.Survey{Wrong: 0.412, Facts: []screen.Fact{{Field: int16(ingest.ProtectedFacade), Gain: 0.3}}}
	for verdict, want := range map[screen.Verdict]string{
		screen.Suited:      "chance of a wrong choice now 41.2 %",
		screen.SurveyFirst: "chance of a wrong choice now 41.2 %; chance that a limit is exceeded 25–35 %, most by ",
	} {
		err := run.Each(run.Ranks.Overall[:1], func(_ uint32, row *screen.Row) error {
			j := row.Judgements[0]
			j.Verdict, j.Chance, j.ChanceLow, j.ChanceHigh, j.Survey = verdict, 0.3, 0.25, 0.35, false
			_, list := report.WorkLines(e, row, &j, &survey)
			var lines []struct{ Work, Why string }
			if text, err := json.Marshal(list); err != nil || json.Unmarshal(text, &lines) != nil {
				t.Fatal(err, list)
			}
			at := slices.IndexFunc(lines, func(l struct{ Work, Why string }) bool {
				return l.Work == "Investigate: "+e.Finding("protected_facade").Label+" (look up)"
			})
			if at < 0 || !strings.HasPrefix(lines[at].Why, want) || verdict == screen.Suited && lines[at].Why != want {
				t.Errorf("%v: %+v, expected why %q", verdict, lines, want)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// The same run gives the same bytes, and readers in SI see what the file holds.
func TestWorksReaderGivesTheFile(t *testing.T) {
	e, run := screened(t, demoCSV)
	lines, _ := worklist(t, e, run)
	again, _ := worklist(t, e, run)
	w := report.Works(e, run)
	k := 0
	err := w.Each(report.View{}, func(b *ingest.Building, values []any) error {
		for i, f := range w.Columns {
			cell := lines[k][f.Name]
			if again[k][f.Name] != cell {
				t.Fatalf("line %d, %s: %q, then %q", k, f.Name, cell, again[k][f.Name])
			}
			switch v := values[i].(type) {
			case nil:
				if cell != "" && cell != report.ShortCaution {
					t.Fatalf("line %d, %s is empty, the file has %q", k, f.Name, cell)
				}
			case float64:
				if x, err := strconv.ParseFloat(cell, 64); err != nil || x-v > 0.05 || v-x > 0.05 {
					t.Fatalf("line %d, %s: %v, the file has %q", k, f.Name, v, cell)
				}
			case int64:
				if strconv.FormatInt(v, 10) != cell {
					t.Fatalf("line %d, %s: %v, the file has %q", k, f.Name, v, cell)
				}
			case string: // words stand for ids in these
				if v != cell && !slices.Contains([]string{"strategy", "verdict", "stage", "material", "limited_by", "caution"}, f.Name) {
					t.Fatalf("line %d, %s: %q, the file has %q", k, f.Name, v, cell)
				}
			}
		}
		k++
		return nil
	})
	if err != nil || k != len(lines) {
		t.Errorf("%d lines of %d, %v", k, len(lines), err)
	}
}

func TestExplainPrintsTheWorkListOfAnyStrategy(t *testing.T) {
	e, run := screened(t, demoCSV)
	var b ingest.Building
	if err := run.Each(run.Ranks.Overall[:1], func(_ uint32, row *screen.Row) error { b = row.Building; return nil }); err != nil {
		t.Fatal(err)
	}
	for _, s := range e.Strategies() {
		tables, err := report.Explain(e, s.ID, []report.Case{{Walls: []ingest.Building{b}}}, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		last := tables[len(tables)-1]
		if last.Name != "works" || !strings.Contains(last.Title, s.Label) || len(last.Rows) == 0 {
			t.Errorf("%s: %+v", s.ID, last)
		}
		for i, r := range last.Rows {
			if !strings.Contains(last.Note, s.Caution) || strings.Contains(last.Note, "  ") {
				t.Errorf("%s: the note lacks the caution: %q", s.ID, last.Note)
			}
			if len(r) != len(last.Columns) || r[0] != strconv.Itoa(i+1) || r[3] == "" {
				t.Errorf("%s: %q", s.ID, r)
			}
		}
	}
}
