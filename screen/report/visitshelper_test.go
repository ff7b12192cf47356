package report_test

import (
	"encoding/csv"
	"fmt"
	"math"
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

// asked are the facts a survey can ask for by default.
var asked = []string{"embedded_timber", "protected_facade", "drain_outlet", "humidity_class", "a_w", "orientation", "height"}

// unknownOf lists those of them that the inventory does not know of a building.
func unknownOf(b *ingest.Building) (out []int16) {
	for _, name := range asked {
		if c, ok := ingest.LookupCategory(name); ok {
			if b.Cat[c] == 0 {
				out = append(out, int16(c))
			}
			continue
		}
		n, _ := ingest.LookupNumber(name)
		if math.IsNaN(b.Num[n]) && !(n == ingest.Height && !math.IsNaN(b.Num[ingest.Storeys])) {
			out = append(out, int16(ingest.NumCategories)+int16(n))
		}
	}
	return out
}

// madeUp stands in for draws, which the steady tier does not do: made-up
// gains, falling, of facts that are not known. Every third building gets none, and
// every third those alone that are found out at the desk.
func madeUp(i uint32, row *screen.Row) {
	row.Survey.Wrong = float32(math.Mod(float64(i)*0.377, 0.6))
	row.Survey.Unclear = i%4 == 1
	if i%3 == 0 {
		return
	}
	gain, list := row.Survey.Wrong, unknownOf(&row.Building)
	if i%3 == 1 {
		list = slices.DeleteFunc(list, func(field int16) bool {
			return !slices.Contains([]string{"protected_facade", "orientation", "height"}, screen.Fact{Field: field}.Name())
		})
	}
	for k, field := range list {
		if k == screen.MostFacts {
			break
		}
		f := screen.Fact{Field: field, Gain: gain}
		if row.Survey.Unclear {
			f.Clears = 1.5 * gain
		}
		row.Survey.Facts = append(row.Survey.Facts, f)
		gain *= 0.6
	}
}

// lines reads survey.csv, each line by column.
func lines(t testing.TB, dir string) (header []string, out []map[string]string) {
	t.Helper()
	return table(t, filepath.Join(dir, report.SurveyCSV))
}

func table(t testing.TB, path string) (header []string, out []map[string]string) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1 // the demo has a pasted line
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		l := map[string]string{}
		for i := range min(len(row), len(rows[0])) {
			l[rows[0][i]] = row[i]
		}
		out = append(out, l)
	}
	return rows[0], out
}

// fits says what is wrong with a survey order: the most that a fact is worth never
// rises down the list, nor does worth along a line, which on a visit has what is
// found out on site first, nor does the chance of a wrong choice where worth is
// the same; visits are counted from 1; whether somebody has to
// go is what the ways of the facts say; no listed fact stands in the inventory.
func fits(list []map[string]string, inventory map[string]map[string]string, findings map[string]config.Finding) error {
	last, chance, visits := math.Inf(1), 0.0, false
	for i, l := range list {
		id, need, desk, site := l["building_id"], "records only", "", false
		if l["visit"] != strconv.Itoa(i+1) {
			return fmt.Errorf("line %d is visit %s", i+1, l["visit"])
		}
		if site := l["visit_needed"] == "visit"; site != visits { // records come first
			if visits {
				return fmt.Errorf("%s: records after a visit", id)
			}
			last, visits = math.Inf(1), true
		}
		wrong, _ := strconv.ParseFloat(l["wrong_choice_percent"], 64)
		worth, most, records := math.Inf(1), 0.0, false
		for k := 1; k <= screen.MostFacts; k++ {
			name := fmt.Sprintf("fact_%d", k)
			field := l[name]
			if field == "" {
				if k == 1 {
					return fmt.Errorf("%s: nothing to find out", id)
				}
				continue
			}
			by, ok := findings[field]
			cut, err := strconv.ParseFloat(l[name+"_cuts_percent_points"], 64)
			clears, errClears := strconv.ParseFloat(l[name+"_settles_percent"], 64)
			open := max(0, wrong-cut)
			if errClears == nil {
				open = 100 - clears
			}
			if cut > wrong {
				return fmt.Errorf("%s: %s cuts %v of %v", id, name, cut, wrong)
			}
			cut = math.Round(10*(cut+clears)) / 10
			most = max(most, cut)
			if visits && by.Way == config.WayDesk && !records { // the look-ups follow
				records, worth = true, math.Inf(1)
			} else if records && by.Way != config.WayDesk {
				return fmt.Errorf("%s: %s is found out on site and stands behind a look-up", id, name)
			}
			if !ok || err != nil || cut > worth+0.1 || l[name+"_words"] != by.Label || l[name+"_how"] != by.How {
				return fmt.Errorf("%s: %s of %s cuts %v after %v, in a list after %v; %v", id, name, field, cut, worth, last, l)
			}
			worth = cut
			if by.Way != config.WayDesk {
				site = true
			} else if desk == "" {
				desk = strconv.FormatFloat(open, 'f', 1, 64)
			}
			if (by.Way == config.WayDesk) != (l[name+"_where"] == report.LookUp) {
				return fmt.Errorf("%s: %s is found out %s, its way is %s", id, field, l[name+"_where"], by.Way)
			}
			for header, v := range inventory[id] {
				v = strings.ToLower(strings.TrimSpace(v))
				if (header == field || strings.HasPrefix(header, field+"_")) && !slices.Contains([]string{"", "unknown", "n/a", "-", "?"}, v) {
					return fmt.Errorf("%s: %s is to be found out, and is %q", id, header, v)
				}
			}
		}
		if most > last+0.1 || most == last && wrong > chance {
			return fmt.Errorf("%s: worth %v, wrong at %v %%, comes after %v and %v %%", id, most, wrong, last, chance)
		}
		last, chance = most, wrong
		if need = map[bool]string{true: "visit", false: need}[site]; site && desk != "" {
			if left, _ := strconv.ParseFloat(desk, 64); left <= 5 { // survey.spare_below
				need = "records first"
			}
		}
		if l["visit_needed"] != need {
			return fmt.Errorf("%s: %s, expected %s: %v", id, l["visit_needed"], need, l)
		}
		left, _ := strconv.ParseFloat(l["after_records_percent"], 64)
		if want, _ := strconv.ParseFloat(desk, 64); (l["after_records_percent"] == "") != (desk == "") || left != want { // what is printed adds up
			return fmt.Errorf("%s: %q %% left after the records, expected about %q", id, l["after_records_percent"], desk)
		}
	}
	return nil
}

// demoRows are the demo's rows by id, the first of an id.
func demoRows(t testing.TB) map[string]map[string]string {
	t.Helper()
	out := map[string]map[string]string{}
	_, list := table(t, demoCSV)
	for _, l := range list {
		if id := strings.TrimSpace(l["building_id"]); out[id] == nil {
			out[id] = l
		}
	}
	return out
}

func findings(t testing.TB, in config.Inputs) map[string]config.Finding {
	t.Helper()
	l, err := config.Load(in)
	if err != nil {
		t.Fatal(err)
	}
	return l.Config.Findings
}

// screenedBy screens an inventory under a configuration.
func screenedBy(t testing.TB, l *config.Loaded, inventory string) (*screen.Engine, *screen.Run) {
	t.Helper()
	e, err := screen.NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	src, err := ingest.Open([]string{inventory}, e.InputOptions())
	if err != nil {
		t.Fatal(err)
	}
	run, err := e.Run(t.Context(), src, screen.Options{Dir: t.TempDir(), Rejected: func(ingest.Reject) error { return nil }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(run.Close)
	return e, run
}
