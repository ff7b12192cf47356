package ingest

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// result is everything that reading a set of files brought up.
type result struct {
	rows    []Building
	rejects []Reject
	extras  []string
	notes   []string
	batches int
}

func readAll(t testing.TB, opt Options, patterns ...string) result {
	t.Helper()
	src, err := Open(patterns, opt)
	if err != nil {
		t.Fatalf("Open: %v", err)
	}
	var res result
	for {
		b, err := src.Next(context.Background())
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("Next: %v", err)
		}
		res.batches++
		rows, rejects := b.Decode()
		res.rows = append(res.rows, rows...)
		res.rejects = append(res.rejects, rejects...)
	}
	res.extras, res.notes = src.Names().Extras, src.Notes()
	return res
}

func writeFile(t testing.TB, name, content string) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(p, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
	return p
}

func readText(t testing.TB, opt Options, content string) result {
	t.Helper()
	return readAll(t, opt, writeFile(t, "in.csv", content))
}

var testOptions = Options{
	Stones: []Term{{ID: "granite", Label: "Granite"}, {ID: "sandstone_porous", Label: "Porous sandstone", Aliases: []string{"freestone"}}, {ID: "brick_soft", Label: "Soft brick"}},
	Zones:  []Term{{ID: "4A", Label: "Mixed, humid"}, {ID: "5C", Label: "Cool, marine"}, {ID: "seattle", Label: "Seattle"}},
}

const requiredHeader = "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber"

// row returns one valid row with the given cells appended.
func row(id string, more ...string) string {
	return strings.Join(append([]string{id, "450", "granite", "4A", "severe", "none"}, more...), ",")
}

func table(header string, rows ...string) string {
	return strings.Join(append([]string{header}, rows...), "\n") + "\n"
}

func ids(rows []Building) string {
	var out []string
	for _, b := range rows {
		out = append(out, b.ID)
	}
	return strings.Join(out, " ")
}

func onlyReject(t *testing.T, res result) Reject {
	t.Helper()
	if len(res.rejects) != 1 {
		t.Fatalf("got %d rejects, want 1: %+v", len(res.rejects), res.rejects)
	}
	return res.rejects[0]
}
