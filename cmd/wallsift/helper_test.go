package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const demo = "../../testdata/demo.csv"

// homes is an inventory of the demo's first rows, enough where numbers are not the
// question: under the race detector a screen of all takes half a minute.
func homes(t *testing.T) string {
	t.Helper()
	b, err := os.ReadFile(demo)
	if err != nil {
		t.Fatal(err)
	}
	return write(t, "homes.csv", strings.Join(strings.SplitAfter(string(b), "\n")[:80], ""))
}

const header = "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber\n"

const good = "A,500,brick_common,4c,moderate,none\nB,610,granite_rubble,oceanic_wet,severe,joist_ends\n"

// said is what a command printed.
type said struct {
	code     int
	out, err string
}

// call runs a command as main does and catches what it prints.
func call(t *testing.T, ctx context.Context, args ...string) said {
	t.Helper()
	var s said
	restore := func() {}
	catch := func(f **os.File) func() string {
		file, err := os.CreateTemp(t.TempDir(), "printed-")
		if err != nil {
			t.Fatal(err)
		}
		old, before := *f, restore
		*f = file
		restore = func() { *f = old; before() }
		return func() string {
			defer file.Close()
			b, err := os.ReadFile(file.Name())
			if err != nil {
				t.Fatal(err)
			}
			return string(b)
		}
	}
	out, errs := catch(&os.Stdout), catch(&os.Stderr)
	defer func() { restore() }()
	s.code = run(ctx, args)
	s.out, s.err = out(), errs()
	return s
}

func write(t *testing.T, name, body string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(body), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// files reads a folder: name → content.
func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		if f.IsDir() {
			out[f.Name()] = "(folder)"
			continue
		}
		b, err := os.ReadFile(filepath.Join(dir, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name()] = string(b)
	}
	return out
}
