package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"wallsift/config"
	"wallsift/model/indicator"
)

// No output uses a word that the glossary has retired. Sources are quotations,
// which may.
func TestRetiredWordsAreGone(t *testing.T) {
	t.Setenv("WALLSIFT_RUN_TIER", "steady") // the question is not one of the tier
	l, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	var words []string
	for _, term := range l.Config.Glossary {
		for _, w := range term.Retired {
			words = append(words, strings.ReplaceAll(regexp.QuoteMeta(w), " ", `\s+`))
		}
	}
	if len(words) < 10 {
		t.Fatalf("only %d retired words", len(words))
	}
	retired := regexp.MustCompile(`(?i)\b(` + strings.Join(words, "|") + `)\b`)
	dir := t.TempDir()
	s := call(t, t.Context(), "screen", homes(t), "--out", dir)
	if s.code != exitDone {
		t.Fatal(s.err)
	}
	said := map[string]string{"the standard output": s.out, "the standard error": s.err}
	for _, name := range []string{"ranking.csv", "worklist.csv", "survey.csv", "rejects.csv", "places.geojson", "report.html"} {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		said[name] = string(b)
	}
	f, err := excelize.OpenFile(filepath.Join(dir, "ranking.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			said["sheet "+sheet] += strings.Join(row, "\n") + "\n"
		}
	}
	said["explain"] = call(t, t.Context(), "explain", demo, "--building", "HX-0260", "--strategy", "drained_cavity").out
	for _, topic := range topics {
		said["help "+topic] = call(t, t.Context(), "help", topic).out
	}
	for _, cmd := range newRoot().Commands() {
		said["help "+cmd.Name()] += call(t, t.Context(), "help", cmd.Name()).out
	}
	for where, text := range said {
		for id := range indicator.Count {
			for _, tier := range []indicator.Tier{indicator.Steady, indicator.Transient} {
				source := id.In(tier).Source
				text = strings.ReplaceAll(text, source, "")
				text = strings.ReplaceAll(strings.Join(strings.Fields(text), " "), source, "") // broken into lines
			}
		}
		for _, at := range retired.FindAllStringIndex(text, 3) {
			t.Errorf("%s: %q", where, text[max(0, at[0]-50):min(len(text), at[1]+30)])
		}
		if len(text) == 0 {
			t.Errorf("%s says nothing", where)
		}
	}
}
