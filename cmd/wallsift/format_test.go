package main

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strings"
	"testing"
)

func TestEveryFormatParses(t *testing.T) {
	for _, args := range [][]string{
		{"screen", homes(t)}, {"explain", demo, "--building", "HX-0001"}, {"explain", demo, "--building", "HX-0002", "--strategy", "tight_foam"},
		{"list", "strategies"}, {"list", "materials"}, {"list", "stations"},
	} {
		if args[0] == "screen" {
			args = append(args, "--out", t.TempDir())
		}
		for format, check := range map[string]func(*testing.T, string) int{"json": parseJSON, "csv": parseCSV, "markdown": parseMarkdown, "table": parseTable} {
			t.Run(args[0]+" as "+format, func(t *testing.T) {
				s := call(t, t.Context(), append(append([]string{}, args...), "--format", format)...)
				if s.code != exitDone {
					t.Fatalf("exit code %d: %s", s.code, s.err)
				}
				if rows := check(t, s.out); rows < 5 {
					t.Errorf("only %d rows", rows)
				}
			})
		}
	}
}

func parseJSON(t *testing.T, s string) int {
	var doc struct {
		Tables []struct {
			Name, Title string
			Columns     []string
			Rows        [][]string
		}
		Caution string
	}
	d := json.NewDecoder(strings.NewReader(s))
	if err := d.Decode(&doc); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Token(); err != io.EOF {
		t.Error("something follows the JSON document")
	}
	rows := 0
	for _, table := range doc.Tables {
		if table.Name == "" || table.Title == "" {
			t.Errorf("a table without a name: %+v", table)
		}
		for _, r := range table.Rows {
			if len(r) != len(table.Columns) {
				t.Errorf("%s: %d cells under %d columns", table.Name, len(r), len(table.Columns))
			}
			rows++
		}
	}
	return rows
}

func parseCSV(t *testing.T, s string) int {
	r := csv.NewReader(strings.NewReader(s))
	r.FieldsPerRecord = -1
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	width, rows := 0, 0
	for _, rec := range all {
		if rec[0] == "table" {
			width = len(rec)
			continue
		}
		rows++
		if len(rec) != width {
			t.Errorf("%d cells under %d columns: %v", len(rec), width, rec)
		}
	}
	return rows
}

// parseMarkdown checks that the rows of every pipe table have as many cells as
// its header. Escaped pipes belong to a cell (GitHub Flavored Markdown, tables).
func parseMarkdown(t *testing.T, s string) int {
	width, rows := 0, 0
	for line := range strings.Lines(s) {
		line = strings.TrimSpace(line)
		if !strings.HasPrefix(line, "|") {
			width = 0
			continue
		}
		n := strings.Count(strings.ReplaceAll(line, `\|`, ""), "|")
		if width == 0 {
			width = n
		}
		if n != width {
			t.Errorf("%d bars under a header of %d: %s", n, width, line)
		}
		rows++
	}
	return rows
}

func parseTable(_ *testing.T, s string) int { return strings.Count(s, "\n") }
