package report_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/screen/report"
)

// A fact that is not known is looked up, inspected or tested: every output says so in
// these words, and no other.
func TestOneWordForEachWayToKnowAFact(t *testing.T) {
	l, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	words := []string{report.LookUp, report.Inspect, report.Test}
	for _, word := range append(words, report.Investigate) {
		if term := l.Config.Glossary[strings.ReplaceAll(word, " ", "_")]; term.Label != word {
			t.Errorf("the glossary has %q for %q", term.Label, word)
		}
	}
	for id, f := range l.Config.Findings {
		if got, way := report.WayWord(f), map[string]string{"desk": words[0], "look": words[1], "open": words[2], "measure": words[2]}[f.Way]; got != way {
			t.Errorf("%s by way %s: %q, expected %q", id, f.Way, got, way)
		}
	}
	e, run := screened(t, demoCSV)
	lines, _ := worklist(t, e, run)
	labels := map[string]bool{} // of steps that say by their label what they look for
	for _, s := range e.StepsOf(^uint64(0)) {
		labels[s.Label] = len(s.When) == 0
	}
	met := map[string]int{}
	for _, w := range lines {
		verb, _, _ := strings.Cut(w["work"], ":")
		switch {
		case w["action"] != "investigate" || labels[w["work"]]:
		case slices.Contains(append(words, report.Investigate), strings.ToLower(verb)):
			met[strings.ToLower(verb)]++
		case !strings.HasPrefix(w["work"], "Test the timber"):
			t.Errorf("%q asks in other words", w["work"])
		}
	}
	if met[report.LookUp] == 0 || met[report.Inspect] == 0 || met[report.Investigate] == 0 {
		t.Errorf("met %v", met)
	}

	run.Surveyed = run.Ranks.Len()
	dir := t.TempDir()
	if err := report.WriteVisitsChanged(dir, e, run, madeUp); err != nil {
		t.Fatal(err)
	}
	order, err := report.SurveyOrderChanged(e, run, 0, madeUp)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range order.Rows {
		if !slices.Contains(words, r[5]) {
			t.Errorf("way %q", r[5])
		}
	}
	survey, err := os.ReadFile(filepath.Join(dir, report.SurveyCSV))
	if err != nil {
		t.Fatal(err)
	}
	var printed strings.Builder
	if err := report.Print(&printed, []report.Table{order}, "table", 0); err != nil {
		t.Fatal(err)
	}
	for _, term := range l.Config.Glossary {
		for _, word := range term.Retired {
			if strings.Contains(printed.String()+string(survey), word) {
				t.Errorf("the survey order says %q, the word is %q", word, term.Label)
			}
		}
	}
}
