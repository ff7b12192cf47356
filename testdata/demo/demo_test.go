package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"wallsift/config"
	"wallsift/ingest"
)

// TestRegenerates holds the committed files against a fresh draw.
func TestRegenerates(t *testing.T) {
	dir := t.TempDir()
	if err := run(dir); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"demo.csv", "demo.parquet"} {
		want, err := os.ReadFile(filepath.Join("..", name))
		if err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs from what the generator writes: run go run ./testdata/demo in the root of the module", name)
		}
	}
}

// TestIngestRejectsTheFlawedRowsOnly reads both files against the default
// tables. The flaws are known from the draw, the verdict is ingest's.
func TestIngestRejectsTheFlawedRowsOnly(t *testing.T) {
	lines := inventory()
	buildings := map[string][]ingest.Building{}
	for _, name := range []string{"demo.csv", "demo.parquet"} {
		t.Run(name, func(t *testing.T) {
			flawed := map[int64]string{}
			good, at := 0, int64(1) // the header is line 1 of the CSV file
			if filepath.Ext(name) == ".parquet" {
				at = 0
			}
			for _, l := range lines {
				if l.ragged() && filepath.Ext(name) == ".parquet" {
					continue
				}
				at++
				if l.flaw != "" {
					flawed[at] = l.flaw
				} else {
					good++
				}
			}
			accepted, rejects := read(t, filepath.Join("..", name))
			if len(accepted) != good {
				t.Errorf("%d rows accepted, want %d", len(accepted), good)
			}
			for i := range accepted {
				accepted[i].File, accepted[i].Line = 0, 0
			}
			buildings[name] = accepted
			for _, r := range rejects {
				if _, ok := flawed[r.Line]; !ok {
					t.Errorf("line %d is good but was rejected: column %s, value %q: %s", r.Line, r.Column, r.Value, r.Reason)
				}
				t.Logf("%d: %s: %s %q: %s. %s", r.Line, flawed[r.Line], r.Column, r.Value, r.Reason, r.Fix)
			}
			for l, flaw := range flawed {
				if !slices.ContainsFunc(rejects, func(r ingest.Reject) bool { return r.Line == l }) {
					t.Errorf("line %d was accepted though: %s", l, flaw)
				}
			}
		})
	}
	if diff := cmp.Diff(buildings["demo.csv"], buildings["demo.parquet"], cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("the two files do not hold the same buildings (-csv +parquet):\n%s", diff)
	}
}

// read returns the accepted buildings, and the rejects with those of repeated
// ids.
func read(t *testing.T, path string) ([]ingest.Building, []ingest.Reject) {
	t.Helper()
	loaded, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	var opt ingest.Options
	for id, m := range loaded.Config.Materials {
		if m.Kind == "stone" || m.Kind == "brick" || m.Kind == "composite" {
			opt.Stones = append(opt.Stones, ingest.Term{ID: id, Label: m.Label})
		}
	}
	for id, z := range loaded.Config.Zones {
		opt.Zones = append(opt.Zones, ingest.Term{ID: id, Label: z.Label})
	}
	for id, s := range loaded.Config.Stations {
		opt.Zones = append(opt.Zones, ingest.Term{ID: id, Label: s.Label})
	}
	src, err := ingest.Open([]string{path}, opt)
	if err != nil {
		t.Fatal(err)
	}
	seen := ingest.NewSeen(src)
	var accepted []ingest.Building
	var rejects []ingest.Reject
	for {
		b, err := src.Next(context.Background())
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		rows, bad := b.Decode()
		rejects = append(rejects, bad...)
		for i := range rows {
			if r, twice := seen.Check(&rows[i]); twice {
				rejects = append(rejects, r)
			} else {
				accepted = append(accepted, rows[i])
			}
		}
	}
	for _, note := range src.Notes() {
		t.Log(note)
	}
	if extras := src.ExtraColumns(); !slices.Equal(extras, []string{"asset_ref", "street", "tenancy"}) {
		t.Errorf("ride-through columns %q", extras)
	}
	return accepted, rejects
}

// TestSpread holds the drawn list against what the README says of it.
func TestSpread(t *testing.T) {
	lines := inventory()
	data, err := csvBytes(lines)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasSuffix(data, []byte("\n\n")) {
		t.Error("the file does not end in an empty line")
	}
	flawed, empty := 0, map[string]int{}
	// Shares that a draw without correlation would make equal.
	openWhere, heavyWhere := map[string]*tally{"sound": {}, "defective": {}}, map[bool]*tally{true: {}, false: {}}
	for _, l := range lines {
		if l.flaw != "" {
			flawed++
		}
		if l.ragged() {
			continue
		}
		h := home{}
		for i, c := range columns {
			h[c.name] = strings.ToLower(strings.TrimSpace(l.cells[i]))
			if h[c.name] == "" || h[c.name] == "unknown" {
				empty[c.name]++
			}
		}
		if n := openWhere[h["rainwater_goods"]]; n != nil {
			n.add(h["joint_condition"], "open")
		}
		heavyWhere[h["climate_zone"] == "oceanic_wet" || h["climate_zone"] == "5c"].add(h["salts"], "heavy")
	}
	if share := float64(flawed) / float64(len(lines)); share < 0.04 || share > 0.05 {
		t.Errorf("%d of %d rows are flawed, want 4 to 5 %%", flawed, len(lines))
	}
	for _, c := range columns {
		if share := float64(empty[c.name]) / float64(len(lines)); c.blank > 0 && (share < 0.12 || share > 0.45) {
			t.Errorf("%s: %.0f %% blank or unknown, want 12 to 45 %%", c.name, 100*share)
		}
	}
	if bad, good := openWhere["defective"].share(), openWhere["sound"].share(); bad < 2*good {
		t.Errorf("open joints: %.2f under defective gutters, %.2f under sound ones", bad, good)
	}
	if coast, inland := heavyWhere[true].share(), heavyWhere[false].share(); coast < 2*inland {
		t.Errorf("heavy salts: %.2f on the coast, %.2f inland", coast, inland)
	}
}

// tally counts known cells and those that hold one word.
type tally struct{ known, hits int }

func (n *tally) add(v, word string) {
	if v == "" || v == "unknown" {
		return
	}
	n.known++
	if v == word {
		n.hits++
	}
}

func (n *tally) share() float64 { return float64(n.hits) / float64(max(n.known, 1)) }
