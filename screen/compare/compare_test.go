package compare_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"wallsift/screen/compare"
	"wallsift/screen/report"
)

func TestNothingMoved(t *testing.T) {
	a := output(t, plain(), judged("A", "x", 1, "suited", 0.5), judged("B", "x", 1, "not suited", 2))
	b := output(t, plain(), judged("B", "x", 1, "not suited", 2), judged("A", "x", 1, "suited", 0.5004))
	got := tables(t, a, b, 0)
	for _, name := range []string{"verdicts", "best", "reasons", "rows"} {
		if len(got[name].Rows) != 0 {
			t.Errorf("table %s has rows: %v", name, got[name].Rows)
		}
	}
}

func TestReasons(t *testing.T) {
	base := judged("A", "x", 1, "suited", 0.5)
	moved := base.with("verdict", "not suited", "utilisation", 1.5)
	thick := moved.with("wall_thickness_mm", 450.0)
	other := plain().with("inventories", []map[string]string{{"name": "a.csv", "sha256": "22"}})
	hourly := plain().with("tier", "transient")
	otherHourly := other.with("tier", "transient")
	slow, slowMoved := base.with("tier", "transient", "inputs_sha256", "p"), moved.with("tier", "transient", "inputs_sha256", "p")
	set := func(kv ...string) manifest {
		m := map[string]string{"limits.rh.value": "0.8", "zones.wet.station": "hill"}
		for i := 0; i < len(kv); i += 2 {
			if kv[i+1] == "" {
				delete(m, kv[i])
			} else {
				m[kv[i]] = kv[i+1]
			}
		}
		return plain().with("settings", m).with("configuration_sha256", fmt.Sprint(m))
	}
	weather := func(sum string) manifest {
		return otherHourly.with("weather_files", []map[string]any{{"station": "hill", "file": "h.epw", "sha256": sum, "zones": []string{"wet", "hill"}}})
	}
	wet, dry := []any{"climate_zone", "wet"}, []any{"climate_zone", "dry"}
	for name, c := range map[string]struct {
		old, new        row
		oldRun, newRun  manifest
		reason, differs string
	}{
		"a fact":               {base, thick, plain(), other, "input changed", "wall_thickness_mm 500 → 450"},
		"a fact becomes known": {base.with("a_w_kg_m2_s05", nil), moved.with("a_w_kg_m2_s05", 0.1), plain(), other, "unclear", "perhaps a fact that is not in both rankings"}, // one file has no such column
		"the configuration":    {base, moved, plain(), plain().with("configuration_sha256", "bb"), "method changed", "configuration"},
		"seed and weather":     {slow, slowMoved, plain().with("weather", "mean"), plain().with("weather", "design").with("seed", 2), "method changed", "seed 1 → 2; weather year mean → design"},
		"seed, no surface":     {base, moved, plain(), plain().with("seed", 2), "unclear", "nothing that the runs note"},
		"the engine, monthly":  {base, moved, set(), set("engine.cells", "12"), "unclear", "nothing that the runs note"},
		"the engine":           {slow, slowMoved, set("engine.cells", "24"), set("engine.cells", "12"), "method changed", "engine.cells 24 → 12"},
		"weather in one only":  {base, moved, plain(), plain().with("weather", "design"), "unclear", "nothing that the runs note"},
		"both":                 {base, thick, plain(), other.with("version", "2"), "both changed", "wall_thickness_mm 500 → 450; version 1 → 2"},
		"the source":           {base, moved, plain().with("revision", "ab"), plain().with("revision", "cd"), "method changed", "revision of the source ab → cd"},
		"the compiler":         {base, moved, plain().with("go", "go1"), plain().with("go", "go2"), "unclear", "nothing that the runs note"},
		"the tier of a row":    {slow.with("tier", "steady"), slowMoved, hourly, hourly, "neighbours", "stone_type granite_rubble is new; judged by tier steady → transient"},
		// The same bytes and the same method: no neighbour can have moved it.
		"nothing":     {slow, slowMoved, hourly, hourly, "unclear", "nothing that the runs note"},
		"other files": {base.with("tier", "transient"), moved.with("tier", "transient"), hourly, otherHourly, "unclear", "perhaps a fact that is not in both rankings"},
		"no surface":  {base, moved, plain(), plain(), "unclear", "nothing that the runs note"},
		// What is only carried to the tables explains nothing.
		"date of survey, own column": {base, moved.with("last_survey", "2024-01-01", "tenancy", "sold"), plain(), other, "unclear", "perhaps a fact that is not in both rankings"},
		"inputs hash, differs":       {base.with("inputs_sha256", "p"), moved.with("inputs_sha256", "q"), plain(), other, "input changed", "a fact that is not in both rankings"},
		// Settings say more than the hash of the configuration.
		"a limit":               {base, moved, set(), set("limits.rh.value", "0.9"), "method changed", "limits.rh.value 0.8 → 0.9"},
		"a setting of printing": {base, moved, set(), set().with("configuration_sha256", "bb"), "unclear", "nothing that the runs note"},
		"its strategy":          {base, moved, set("strategies.x.side", "none"), set("strategies.x.side", "interior"), "method changed", "strategies.x.side none → interior"},
		"another strategy":      {base, moved, set("strategies.y.side", "none"), set("strategies.y.side", "interior"), "unclear", "nothing that the runs note"},
		"its station":           {base.with(wet...), moved.with(wet...), set("stations.hill.rain", "[1]"), set("stations.hill.rain", "[2]"), "method changed", "stations.hill.rain [1] → [2]"},
		"its zone":              {base.with(wet...), moved.with(wet...), set(), set("zones.wet.station", "vale"), "method changed", "zones.wet.station hill → vale"},
		"a new material":        {base, moved, set(), set("materials.new.a_w", "1", "materials.new.mu", "2"), "unclear", "nothing that the runs note"},
		"a new prior":           {slow, slowMoved, set(), set("priors.p.field", "salts", "priors.p.weight", "2"), "method changed", "priors.p was added"},
		"its weather file":      {slow.with(wet...), slowMoved.with(wet...), weather("11"), weather("22"), "method changed", "the weather file of station hill changed"},
		"a weather file comes":  {slow.with(wet...), slowMoved.with(wet...), weather("11").with("weather_files", []int{}), weather("11"), "method changed", "the weather file of station hill was added"},
		"another weather file":  {slow.with(dry...), slowMoved.with(dry...), weather("11"), weather("22"), "neighbours", "the weather file of station hill changed (another climate)"},
	} {
		t.Run(name, func(t *testing.T) {
			got := tables(t, output(t, c.oldRun, c.old), output(t, c.newRun, c.new), 0)["rows"]
			if reason, _ := cell(t, got, "A", "x", "reason"); reason != c.reason {
				t.Errorf("reason %q, want %q", reason, c.reason)
			}
			if differs, _ := cell(t, got, "A", "x", "what differs"); differs != c.differs {
				t.Errorf("what differs: %q, want %q", differs, c.differs)
			}
		})
	}
}

// A building of another stone comes: surfaces learn from other stones, and rows
// of buildings that stay the same may move.
func TestNeighbours(t *testing.T) {
	slow := judged("A", "x", 1, "suited", 0.5).with("tier", "transient", "inputs_sha256", "p")
	comes := judged("B", "x", 1, "suited", 0.5).with("tier", "transient", "inputs_sha256", "q", "stone_type", "slate")
	old := output(t, plain(), slow)
	other := plain().with("inventories", []map[string]string{{"name": "a.csv", "sha256": "22"}})
	for name, c := range map[string]struct {
		comes           row
		reason, differs string
	}{
		"another stone":        {comes, "neighbours", "stone_type slate is new"},
		"the same stone":       {comes.with("stone_type", "granite_rubble"), "unclear", "nothing that the runs note"},
		"excluded, not learnt": {comes.with("tier", "steady"), "unclear", "nothing that the runs note"},
	} {
		got := tables(t, old, output(t, other, slow.with("utilisation", 0.7), c.comes), 0)["rows"]
		reason, _ := cell(t, got, "A", "x", "reason")
		if differs, _ := cell(t, got, "A", "x", "what differs"); reason != c.reason || differs != c.differs {
			t.Errorf("%s: %q, %q", name, reason, differs)
		}
	}
}

// A building that is gone because its row was rejected is not taken for one that
// left the list.
func TestRejected(t *testing.T) {
	a, b := judged("A", "x", 1, "suited", 0.5), judged("B", "x", 1, "suited", 0.5)
	old, new := output(t, plain(), a, b), output(t, plain(), a)
	for name, c := range map[string]struct{ rejects, differs string }{
		"no file":     {"", "the new run does not have the building"},
		"another row": {"file,line,building_id,column,value,reason,fix\na.csv,3,C,salts,much,unknown word,correct it\n", "the new run does not have the building"},
		"its row":     {"file,line,building_id,column,value,reason,fix\na.csv,3,B,salts,\"a \"\"lot\"\"\",unknown word,correct it\na.csv,3,B,height_m,900,too high,correct it\n", `the new run rejected its row: salts "a \"lot\"": unknown word`},
		"other table": {"a,b\n1,2\n", "the new run does not have the building"},
	} {
		if c.rejects != "" {
			if err := os.WriteFile(filepath.Join(new, report.RejectsCSV), []byte(c.rejects), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if d, _ := cell(t, tables(t, old, new, 0)["rows"], "B", "x", "what differs"); d != c.differs {
			t.Errorf("%s: %q, want %q", name, d, c.differs)
		}
		if d, _ := cell(t, tables(t, new, old, 0)["rows"], "B", "x", "what differs"); d != strings.Replace(c.differs, "the new run", "the old run", 1) {
			t.Errorf("%s, the other way round: %q", name, d)
		}
	}
}

// What differs in the method is listed with both values; what cannot be known is
// said.
func TestRunsAndSettings(t *testing.T) {
	row := judged("A", "x", 1, "suited", 0.5)
	m := func(limit, sum string) manifest {
		return plain().with("settings", map[string]string{"limits.rh.value": limit, "chance.samples": "128"}).
			with("weather_files", []map[string]any{{"station": "hill", "sha256": strings.Repeat(sum, 32)}})
	}
	got := tables(t, output(t, m("0.8", "ab"), row), output(t, m("0.9", "cd").with("configuration_sha256", "bb"), row), 0)
	if want := [][]string{{"limits.rh.value", "0.8", "0.9"}}; !reflect.DeepEqual(got["settings"].Rows, want) {
		t.Errorf("settings %v", got["settings"].Rows)
	}
	if want := []string{"weather file of hill", "abababababab", "cdcdcdcdcdcd", "no"}; !slices.ContainsFunc(got["runs"].Rows, func(r []string) bool { return slices.Equal(r, want) }) {
		t.Errorf("runs %v", got["runs"].Rows)
	}
	got = tables(t, output(t, m("0.8", "ab"), row), output(t, m("0.8", "ab").with("configuration_sha256", "bb"), row), 0)
	if n := got["settings"]; len(n.Rows) != 0 || !strings.Contains(n.Note, "nothing that moves a figure") {
		t.Errorf("settings %v, %q", n.Rows, n.Note)
	}
	got = tables(t, output(t, plain(), row), output(t, m("0.8", "ab"), row), 0)
	if n := got["settings"]; len(n.Rows) != 0 || !strings.Contains(n.Note, "does not say") {
		t.Errorf("settings %v, %q", n.Rows, n.Note)
	}
	other := plain().with("inventories", []map[string]string{{"name": "a.csv", "sha256": "22"}})
	if n := tables(t, output(t, plain(), row), output(t, other, row), 0)["runs"].Note; !strings.Contains(n, "salts") || strings.Contains(n, "exposure") {
		t.Errorf("facts that are not kept: %q", n)
	}
}

// A fact that was a blank and is given now is a change of input.
func TestBlankBecomesKnown(t *testing.T) {
	fill := judged("Z", "x", 1, "suited", 0.1).with("a_w_kg_m2_s05", 0.2)
	base := judged("A", "x", 1, "suited", 0.5)
	a, b := output(t, plain(), base, fill), output(t, plain(), base.with("a_w_kg_m2_s05", 0.1, "utilisation", 0.6), fill)
	if d, _ := cell(t, tables(t, a, b, 0)["rows"], "A", "x", "what differs"); d != "a_w_kg_m2_s05 (none) → 0.1" {
		t.Errorf("what differs: %q", d)
	}
}

func TestSummaryAndOrder(t *testing.T) {
	old := output(t, plain(),
		judged("A", "x", 1, "suited", 0.5), judged("A", "y", 2, "suited", 0.6),
		judged("B", "x", 1, "suited", 0.5), judged("B", "y", 2, "survey first", 0.9),
		judged("C", "x", 1, "suited", 0.5), judged("C", "y", 2, "suited", 0.6),
		judged("GONE", "x", 1, "suited", 0.5), judged("GONE", "y", 2, "suited", 0.6),
	)
	new := output(t, plain(),
		judged("NEW", "x", 1, "suited", 0.5),
		judged("A", "y", 1, "suited", 0.6), judged("A", "x", 2, "not suited", 1.5), // its best fell by three grades
		judged("B", "x", 1, "suited", 0.7), judged("B", "y", 2, "not suited", 1.9), // a second choice fell by one
		judged("C", "x", 1, "suited", 0.5), judged("C", "y", 2, "suited", 0.6), judged("C", "z", 3, "suited", 0.9),
	)
	got := tables(t, old, new, 0)
	for name, want := range map[string][][]string{
		"verdicts": {{"suited", "not suited", "1"}, {"survey first", "not suited", "1"}},
		"best":     {{"x", "y", "1", "A"}},
		"reasons":  {{"added", "0", "2"}, {"removed", "0", "2"}, {"unclear", "2", "1"}},
	} {
		if !reflect.DeepEqual(got[name].Rows, want) {
			t.Errorf("table %s: %v, want %v", name, got[name].Rows, want)
		}
	}
	var order []string
	for _, r := range got["rows"].Rows {
		order = append(order, r[0]+" "+r[1])
	}
	if want := "A x,B y,GONE x,NEW x,C z,B x,GONE y"; strings.Join(order, ",") != want {
		t.Errorf("order %v, want %s", order, want)
	}
	if d, _ := cell(t, got["rows"], "C", "z", "what differs"); d != "the old run does not have the strategy" {
		t.Errorf("a new strategy: %q", d)
	}
	if top := tables(t, old, new, 2)["rows"]; len(top.Rows) != 2 || !strings.Contains(top.Note, "2 of 7") {
		t.Errorf("top 2: %d rows, note %q", len(top.Rows), top.Note)
	}
}

// Rankings with nothing but what they must have are compared by verdict alone;
// chances are compared where there are some.
func TestColumnsMayLackOrGrow(t *testing.T) {
	bare := row{"building_id": "A", "strategy": "x", "verdict": "suited"}
	got := tables(t, output(t, plain(), bare), output(t, plain(), judged("A", "x", 1, "survey first", 0.5).with("chance", 0.2, "new_column", 3)), 0)["rows"]
	for column, want := range map[string]string{"old verdict": "suited", "new verdict": "survey first", "old utilisation": "", "new utilisation": "0.500", "old chance": "", "new chance": "0.200"} {
		if s, _ := cell(t, got, "A", "x", column); s != want {
			t.Errorf("%s: %q, want %q", column, s, want)
		}
	}
}

func TestFoldersRefused(t *testing.T) {
	good := output(t, plain(), judged("A", "x", 1, "suited", 0.5))
	broken := func(change func(dir string) error) string {
		dir := output(t, plain(), judged("A", "x", 1, "suited", 0.5))
		if err := change(dir); err != nil {
			t.Fatal(err)
		}
		return dir
	}
	put := func(name, body string) func(string) error {
		return func(dir string) error { return os.WriteFile(filepath.Join(dir, name), []byte(body), 0o644) }
	}
	for name, c := range map[string]struct{ dir, says string }{
		"missing":          {filepath.Join(t.TempDir(), "none"), "--out"},
		"a file":           {filepath.Join(good, report.ManifestJSON), "name the folder"},
		"no manifest":      {broken(func(d string) error { return os.Remove(filepath.Join(d, report.ManifestJSON)) }), "no run.json"},
		"no ranking":       {broken(func(d string) error { return os.Remove(filepath.Join(d, report.RankingParquet)) }), "no ranking.parquet"},
		"not JSON":         {broken(put(report.ManifestJSON, "<html>")), "run wallsift screen again"},
		"foreign manifest": {broken(put(report.ManifestJSON, `{"version": "3"}`)), "configuration_sha256"},
		"not Parquet":      {broken(put(report.RankingParquet, "building_id\nA\n")), "run wallsift screen again"},
		"other Parquet":    {output(t, plain(), row{"name": "A"}), "no column building_id"},
		"of two runs":      {output(t, plain().with("ranking_parquet_sha256", strings.Repeat("0", 64)), judged("A", "x", 1, "suited", 0.5)), "put its files in place"},
		"cut off": {broken(func(d string) error {
			path := filepath.Join(d, report.RankingParquet)
			return os.Truncate(path, 200)
		}), "run wallsift screen again"},
	} {
		for _, pair := range [][2]string{{good, c.dir}, {c.dir, good}} {
			_, err := compare.Folders(t.Context(), pair[0], pair[1], 0)
			if !errors.Is(err, compare.ErrFolder) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s: error %v, want one that says %q", name, err, c.says)
			}
		}
	}
}

// Damaged bytes in the middle of a ranking give an error or an answer, no panic.
func TestDamagedRanking(t *testing.T) {
	good := output(t, plain(), judged("A", "x", 1, "suited", 0.5))
	b, err := os.ReadFile(filepath.Join(good, report.RankingParquet))
	if err != nil {
		t.Fatal(err)
	}
	for at := 4; at < len(b)-8; at += 11 {
		dir := output(t, plain(), judged("A", "x", 1, "suited", 0.5))
		body := append([]byte(nil), b...)
		body[at] ^= 0xff
		if err := os.WriteFile(filepath.Join(dir, report.RankingParquet), body, 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := compare.Folders(t.Context(), good, dir, 0); err != nil && !errors.Is(err, compare.ErrFolder) {
			t.Errorf("byte %d: %v", at, err)
		}
	}
}
