package compare_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wallsift/screen/compare"
	"wallsift/screen/report"
	"wallsift/screen/results"
)

// Neither the order of rows nor what is below the last printed digit counts.
func TestNothingMoved(t *testing.T) {
	a := output(t, plain(), judged("A", "x", 1, "suited", 0.5), judged("B", "x", 1, "not suited", 2))
	b := output(t, plain().With("version", "2"), judged("B", "x", 1, "not suited", 2), judged("A", "x", 1, "suited", 0.5004).With("wall_thickness_mm", 500.0000000000001))
	got := compared(t, a, b)
	if got["moved"] != false || got.summary() != "Nothing moved. The runs differ in version." {
		t.Errorf("moved %v: %s", got["moved"], got.summary())
	}
	for _, name := range []string{"causes", "facts", "verdicts", "without_verdict", "changes", "survey_order"} {
		equal(t, name, got.rows(t, name))
	}
	if s := form(t, a, b, "table", 0); strings.Contains(s, "Each verdict that moved") {
		t.Errorf("an empty table is printed:\n%s", s)
	}
}

// A verdict that moved is put down to what differs and can reach it; to the
// method where nothing does.
func TestCauses(t *testing.T) {
	base := judged("A", "x", 1, "suited", 0.5).With("climate_zone", "wet", "inputs_sha256", "p")
	moved := base.With("verdict", "not suited")
	thick := moved.With("wall_thickness_mm", 450.0, "inputs_sha256", "q")
	set := func(kv ...string) manifest {
		m := map[string]string{"limits.rh.value": "0.8", "strategies.x.side": "in", "strategies.y.side": "in", "zones.wet.station": "hill", "zones.dry.station": "vale"}
		for i := 0; i < len(kv); i += 2 {
			m[kv[i]] = kv[i+1]
		}
		return plain().With("settings", m).With("configuration_sha256", fmt.Sprint(m))
	}
	weather := func(sum string, zones ...string) manifest {
		return set().With("weather_files", []map[string]any{{"station": "hill", "file": "h.epw", "sha256": sum, "zones": zones}})
	}
	for name, c := range map[string]struct {
		new            row
		oldRun, newRun manifest
		want           string
	}{
		"a fact":                  {thick, plain(), plain(), "facts"},
		"a fact without a column": {moved.With("inputs_sha256", "q"), plain(), plain(), "facts"},
		"own column, last survey": {moved.With("tenancy", "sold", "last_survey", "2024-01-01"), plain(), plain(), "method"},
		"nothing":                 {moved, set(), set(), "method"},
		"version":                 {moved, plain(), plain().With("version", "2"), "method"},
		"source":                  {moved, plain().With("revision", "a"), plain().With("revision", "b"), "method"},
		"engine":                  {moved, plain().With("method", "a"), plain().With("method", "b"), "method"},
		"fact and version":        {thick, plain(), plain().With("version", "2"), "facts and method"},
		"a limit":                 {moved, set(), set("limits.rh.value", "0.9"), "settings"},
		"fact and limit":          {thick, set(), set("limits.rh.value", "0.9"), "facts and settings"},
		"its strategy":            {moved, set(), set("strategies.x.side", "out"), "settings"},
		"another strategy":        {moved, set(), set("strategies.y.side", "out"), "method"},
		"its zone":                {moved, set(), set("zones.wet.station", "vale"), "settings"},
		"another zone":            {moved, set(), set("zones.dry.station", "hill"), "method"},
		"seed":                    {moved, set(), set().With("seed", 2), "settings"},
		"tier":                    {moved, set(), set().With("tier", "transient"), "settings"},
		"settings are not said":   {moved, plain(), plain().With("configuration_sha256", "bb"), "settings"},
		"printing":                {moved, set(), set().With("configuration_sha256", "bb"), "method"},
		"its weather file":        {moved, weather("1", "wet"), weather("2", "wet"), "weather"},
		"another weather file":    {moved, weather("1", "dry"), weather("2", "dry"), "method"},
		"a weather file comes":    {moved, set(), weather("2", "wet"), "weather"},
		"all":                     {thick, weather("1", "wet"), weather("2", "wet").With("version", "2").With("seed", 2), "facts and settings and weather and method"},
	} {
		got := compared(t, output(t, c.oldRun, base), output(t, c.newRun, c.new))
		equal(t, name, got.rows(t, "verdicts", "cause"), c.want)
		equal(t, name, got.rows(t, "causes", "cause", "verdicts", "homes"), c.want+"|1|1")
		if plain := strings.Contains(got.summary(), "by method: facts, settings and weather files are the same"); plain != (c.want == "method") {
			t.Errorf("%s: %s", name, got.summary())
		}
	}
}

func TestDifferences(t *testing.T) {
	r := judged("A", "x", 1, "suited", 0.5)
	m := func(limit, sum string) manifest {
		return plain().With("settings", map[string]string{"limits.rh.value": limit, "chance.samples": "128"}).
			With("weather_files", []map[string]any{{"station": "hill", "sha256": strings.Repeat(sum, 32)}})
	}
	got := compared(t, output(t, m("0.8", "ab"), r), output(t, m("0.9", "cd").With("seed", 2), r))
	equal(t, "differences", got.rows(t, "differences", "kind", "name", "value"), "settings|seed|1>2", "settings|limits.rh.value|0.8>0.9", "weather|hill|abababababab>cdcdcdcdcdcd")
	got = compared(t, output(t, plain(), r), output(t, plain(), r))
	var note string
	for line := range strings.Lines(form(t, output(t, plain(), r), output(t, plain(), r.With("chance_low", 0.2, "chance_high", 0.3)), "table", 0)) {
		if strings.Contains(line, "Not in both") {
			note = line
		}
	}
	if len(got.rows(t, "differences", "name")) != 0 || !strings.Contains(note, "chance_low, chance_high") || !strings.Contains(note, "salts") || strings.Contains(note, "exposure") {
		t.Errorf("what is not compared: %q", note)
	}
}

// Runs of before numbers were noted as numbers and ids as lists say the same.
func TestOlderFormsSayTheSame(t *testing.T) {
	r := judged("A", "x", 1, "suited", 0.5)
	old := output(t, plain().With("settings", map[string]any{"chance.draws": "64", "rank.steps": "[0.5,1]", "energy.price": "null", "zones.wet.station": "hill"}),
		r.With("gates", "salts_heavy ground_wet", "fix_first", nil))
	new := output(t, plain().With("settings", map[string]any{"chance.draws": 64, "rank.steps": []float64{0.5, 1}, "energy.price": nil, "zones.wet.station": "hill"}),
		r.With("gates", []string{"salts_heavy", "ground_wet"}, "fix_first", []string{}))
	if got := compared(t, old, new); got["moved"] != false {
		t.Errorf("%v", got.summary())
	}
	moved := output(t, plain(), r.With("gates", []string{"salts_heavy"}))
	if got := compared(t, new, moved); got["moved"] != true {
		t.Error("a gate that no longer acts is not seen")
	}
}

// What one would send on: new facts, what came of them, and the sums.
func TestSummary(t *testing.T) {
	base := judged("U-036a", "exterior", 1, "suited", 0.5).With("protected_facade", "no", "saved_kwh_a", 26505.0)
	second := judged("U-036a", "interior", 2, "survey first", 0.9).With("protected_facade", "no", "saved_kwh_a", 9000.0)
	known := judged("B", "exterior", 1, "suited", 0.5).With("protected_facade", "no", "saved_kwh_a", 1000.0)
	old := output(t, plain(), base, second, known.With("a_w_kg_m2_s05", nil), judged("C", "exterior", 1, "suited", 0.1).With("a_w_kg_m2_s05", 0.1))
	new := output(t, plain().With("seed", 2).With("version", "2"),
		second.With("protected_facade", "yes", "rank_in_building", 1), base.With("protected_facade", "yes", "rank_in_building", 2, "verdict", "not suited"),
		known.With("a_w_kg_m2_s05", 0.12), judged("D", "exterior", 1, "suited", 0.1))
	got := compared(t, old, new)
	want := "2 homes have new facts. 1 building is new. 1 building is gone. The runs differ in version, seed. 1 verdict moved at 1 home by facts and settings and method. " +
		"1 home has another best strategy. Best strategies that are suited save 1,000 kWh/a in place of 27,505 kWh/a (-26,505 kWh/a). " +
		"U-036a: protected facade now yes (was no); exterior now not suited; best is now interior; -26,505 kWh/a. B: water absorption A_w, kg/(m²·√s) now 0.12; no verdict moved."
	if got.summary() != want {
		t.Errorf("it says\n%s, want\n%s", got.summary(), want)
	}
	equal(t, "runs", got.rows(t, "runs", "what", "value")[1:], "version|1>2", "buildings|3", "rejected_ids|0", "buildings_that_save|2>1", "saved_kwh_a|27505>1000", "survey_places|0", "homes_in_the_programme|0")
	equal(t, "changes", got.rows(t, "changes", "building_id", "state", "best_strategy", "saved_change_kwh_a", "why"),
		"U-036a|changed|exterior>interior|-26505|", "B|changed|exterior|0|", "C|gone|exterior>||the new run does not have it", "D|new|>exterior||the old run does not have it")
	equal(t, "facts", got.rows(t, "facts", "fact", "value", "homes", "homes_without_moved_verdict"), "a_w_kg_m2_s05|>0.12|1|1", "protected_facade|no>yes|1|0")
	equal(t, "steps", got.rows(t, "verdict_steps", "verdict", "rows", "homes"), "suited>not suited|1|1")
	if s := form(t, old, new, "table", 1); !strings.Contains(s, "And 1 more") || !strings.Contains(s, "the first 1 of 4") {
		t.Errorf("cut to one:\n%s", s)
	}
}

// What moves without a verdict is counted by rows and homes; rows of a home are one
// home.
func TestWithoutVerdict(t *testing.T) {
	var old, new []row
	for _, name := range []string{"A x", "A y", "B x"} {
		id, strategy, _ := strings.Cut(name, " ")
		r := judged(id, strategy, map[string]int{"x": 1, "y": 2}[strategy], "suited", 0.5).With("gates", "damp", "fix_first", "drain repoint", "check_on_site", "timber", "readiness", "ready", "chance_low", 0.1, "chance_high", 0.1, "insulation_mm", 60.0)
		old = append(old, r)
		new = append(new, r.With("gates", "damp salts", "fix_first", "repoint drain", "check_on_site", "", "readiness", "look first", "chance_low", 0.2, "chance_high", 0.2, "governing", "mould"))
	}
	new[0]["insulation_mm"] = nil
	got := compared(t, output(t, plain(), old...), output(t, plain(), new...))
	equal(t, "counts", got.rows(t, "without_verdict", "column", "change", "rows", "homes"),
		"chance_high|higher|3|2", "chance_low|higher|3|2", "check_on_site|timber removed|3|2", "fix_first|another order|3|2", "gates|salts added|3|2",
		"governing|frost → mould|3|2", "readiness|ready → look first|3|2", "insulation_mm|not given any more|1|1")
	equal(t, "readiness", got.rows(t, "readiness_steps", "readiness", "homes"), "ready>look first|2")
	if s := got.summary(); got["moved"] != true || s != "No verdict moved." {
		t.Errorf("moved %v: %s", got["moved"], s)
	}
}

// A strategy that one run alone has is a verdict that moved from or to nothing.
func TestStrategyComes(t *testing.T) {
	a, z := judged("A", "x", 1, "suited", 0.5), judged("A", "z", 2, "suited", 0.9)
	old, new := output(t, plain(), a), output(t, plain(), a, z)
	equal(t, "comes", compared(t, old, new).rows(t, "verdicts", "strategy", "verdict", "utilisation"), "z|>suited|>0.9")
	equal(t, "goes", compared(t, new, old).rows(t, "verdicts", "strategy", "verdict", "utilisation"), "z|suited>|0.9>")
}

// A building that is gone because its row was rejected is not taken for one that
// left the list; ids that a CSV file guards against formulas are recognised.
func TestRejected(t *testing.T) {
	for _, id := range []string{"B", "=B", "-B7"} {
		a, b := judged("A", "x", 1, "suited", 0.5), judged(id, "x", 1, "suited", 0.5)
		old, new := output(t, plain(), a, b), output(t, plain(), a)
		cell := id
		if id != "B" {
			cell = "'" + id
		}
		for name, c := range map[string]struct{ rejects, why string }{
			"another row": {"a.csv,3,C,salts,much,unknown word,correct it\n", "the new run does not have it"},
			"its row":     {"a.csv,3," + cell + ",salts,\"a \"\"lot\"\"\",unknown word,correct it\na.csv,3," + cell + ",height_m,900,too high,correct it\n", `the new run rejected its row: salts "a \"lot\"": unknown word`},
		} {
			put(t, new, report.RejectsCSV, "file,line,building_id,column,value,reason,fix\n"+c.rejects)
			equal(t, name, compared(t, old, new).rows(t, "changes", "building_id", "state", "why"), id+"|gone|"+c.why)
			equal(t, name, compared(t, new, old).rows(t, "changes", "building_id", "state", "why"), id+"|new|"+strings.Replace(c.why, "the new run", "the old run", 1))
		}
		put(t, new, report.RejectsCSV, "a,b\n1,2\n")
		equal(t, "another table", compared(t, old, new).rows(t, "changes", "why"), "the new run does not have it")
	}
}

func TestSurveyOrder(t *testing.T) {
	r := []row{judged("A", "x", 1, "suited", 0.5), judged("=B", "x", 1, "suited", 0.5), judged("C", "x", 1, "suited", 0.5), judged("D", "x", 1, "suited", 0.5)}
	old, new := output(t, plain(), r...), output(t, plain(), r...)
	put(t, old, report.SurveyCSV, "visit,building_id\n1,A\n2,'=B\n3,C\n")
	put(t, new, report.SurveyCSV, "visit,building_id\n1,D\n2,'=B\n3,A\n")
	got := compared(t, old, new)
	equal(t, "places", got.rows(t, "survey_order", "building_id", "visit"), "D|>1", "A|1>3", "C|3>")
	if got["moved"] != true {
		t.Error("the order did not count")
	}
}

// The programmes of the two runs, where each lies in its results.
func TestProgrammeOrder(t *testing.T) {
	r := []row{judged("A", "x", 1, "suited", 0.5), judged("B", "x", 1, "suited", 0.5), judged("C", "x", 1, "suited", 0.5)}
	old, new := output(t, plain(), r...), output(t, plain(), r...)
	for dir, body := range map[string]string{old: "order,building_id\n1,A\n2,B\n", new: "order,building_id\n1,B\n2,C\n"} {
		if err := os.Mkdir(filepath.Join(dir, "programme"), 0o755); err != nil {
			t.Fatal(err)
		}
		put(t, dir, "programme/programme.csv", body)
	}
	got := compared(t, old, new)
	equal(t, "places", got.rows(t, "programme_order", "building_id", "order"), "B|2>1", "C|>2", "A|1>")
	if got["moved"] != true {
		t.Error("the programme did not count")
	}
}

// Rankings with nothing but what they must have are compared by verdict alone.
func TestColumnsMayLackOrGrow(t *testing.T) {
	bare := row{"building_id": "A", "strategy": "x", "verdict": "suited"}
	got := compared(t, output(t, plain(), bare), output(t, plain(), judged("A", "x", 1, "survey first", 0.5).With("chance_low", 0.1, "chance_high", 0.3, "new_column", 3)))
	equal(t, "row", got.rows(t, "verdicts", "verdict", "utilisation", "chance_low", "chance_high"), "suited>survey first|>0.5|>0.1|>0.3")
}

// Every form has the sentences and the rows, is cut alike, and comes out the same
// twice. The keys of the JSON form stay as they are, or Schema grows.
func TestForms(t *testing.T) {
	a := judged("A", "x", 1, "suited", 0.5)
	old, new := output(t, plain(), a), output(t, plain(), a.With("verdict", "not suited", "exposure", "moderate"), judged("B|_*\x1b[2J\n", "x", 1, "suited", 1))
	for _, format := range []string{"table", "markdown", "csv", "json"} {
		s := form(t, old, new, format, 0)
		if again := form(t, old, new, format, 0); again != s {
			t.Errorf("%s differs from itself", format)
		}
		if strings.ContainsAny(s, "\x1b") {
			t.Errorf("%s steers a terminal", format)
		}
		for _, want := range []string{"1 home has new facts.", "A: exposure now moderate (was severe); x now not suited", "not suited"} {
			if !strings.Contains(s, want) {
				t.Errorf("%s: no %q in\n%s", format, want, s)
			}
		}
	}
	lines := csv.NewReader(strings.NewReader(form(t, old, new, "csv", 0)))
	lines.FieldsPerRecord = -1
	if _, err := lines.ReadAll(); err != nil {
		t.Error(err)
	}
	got := compared(t, old, new)
	keys := map[string][]string{
		"runs": {"what", "value"}, "differences": {"kind", "name", "value"}, "causes": {"cause", "verdicts", "homes"}, "verdict_steps": {"verdict", "rows", "homes"},
		"facts": {"fact", "value", "homes", "homes_without_moved_verdict"}, "readiness_steps": {"readiness", "homes"}, "survey_order": {"building_id", "visit"}, "programme_order": {"building_id", "order"},
		"without_verdict": {"column", "change", "rows", "homes"},
		"verdicts":        {"building_id", "strategy", "verdict", "governing", "utilisation", "chance_low", "chance_high", "insulation_mm", "tier", "cause"},
		"changes":         {"building_id", "home_id", "state", "facts", "best_strategy", "saved_change_kwh_a", "why"},
	}
	for name, columns := range keys {
		got.rows(t, name, columns...)
	}
	all := append(slices.Collect(maps.Keys(keys)), "schema", "moved", "summary", "caution")
	slices.Sort(all)
	equal(t, "keys", slices.Sorted(maps.Keys(got)), all...)
	if got["schema"] != float64(compare.Schema) || compare.Schema != 1 {
		t.Errorf("schema %v", got["schema"])
	}
}

func TestFoldersRefused(t *testing.T) {
	r := judged("A", "x", 1, "suited", 0.5)
	good := output(t, plain(), r)
	broken := func(change func(dir string)) string {
		dir := output(t, plain(), r)
		change(dir)
		return dir
	}
	with := func(name, body string) string { return broken(func(d string) { put(t, d, name, body) }) }
	without := func(name string) string { return broken(func(d string) { os.Remove(filepath.Join(d, name)) }) }
	for name, c := range map[string]struct{ dir, says string }{
		"missing":          {filepath.Join(t.TempDir(), "none"), "--out"},
		"a file":           {filepath.Join(good, report.ManifestJSON), "name the folder"},
		"no manifest":      {without(report.ManifestJSON), "no run.json"},
		"no ranking":       {without(report.RankingParquet), "no ranking.parquet"},
		"not JSON":         {with(report.ManifestJSON, "<html>"), "run wallsift screen again"},
		"foreign manifest": {with(report.ManifestJSON, `{"version": "3"}`), "configuration_sha256"},
		"not Parquet":      {with(report.RankingParquet, "building_id\nA\n"), "run wallsift screen again"},
		"other Parquet":    {output(t, plain(), row{"name": "A"}), "no column building_id"},
		"of two runs":      {output(t, plain().With("ranking_parquet_sha256", strings.Repeat("0", 64)), r), "put its files in place"},
		"cut off":          {broken(func(d string) { os.Truncate(filepath.Join(d, report.RankingParquet), 200) }), "run wallsift screen again"},
		"broken rejects":   {with(report.RejectsCSV, "a,b\n1\n"), "rejects.csv cannot be read to its end"},
		"broken survey":    {with(report.SurveyCSV, "a,b\n\"1"), "survey.csv cannot be read to its end"},
	} {
		for _, pair := range [][2]string{{good, c.dir}, {c.dir, good}} {
			_, err := compare.Folders(t.Context(), builtIn(t), pair[0], pair[1])
			if !errors.Is(err, results.ErrFolder) || !strings.Contains(err.Error(), c.says) {
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
	dir := output(t, plain(), judged("A", "x", 1, "suited", 0.5))
	cfg := builtIn(t)
	for at := 4; at < len(b)-8; at += 11 {
		body := append([]byte(nil), b...)
		body[at] ^= 0xff
		put(t, dir, report.RankingParquet, string(body))
		if _, err := compare.Folders(t.Context(), cfg, good, dir); err != nil && !errors.Is(err, results.ErrFolder) {
			t.Errorf("byte %d: %v", at, err)
		}
	}
}
