package main

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Units change what is printed and nothing that is written.
func TestUnitsLeaveFilesAlone(t *testing.T) {
	t.Setenv("WALLSIFT_RUN_TIER", "steady") // the question is not one of the tier
	si, ip := t.TempDir(), t.TempDir()
	few := homes(t)
	a := call(t, t.Context(), "screen", few, "--out", si, "--format", "csv")
	b := call(t, t.Context(), "screen", few, "--out", ip, "--format", "csv", "--units", "ip")
	if a.code != exitDone || b.code != exitDone {
		t.Fatal(a.err, b.err)
	}
	x, y := files(t, si), files(t, ip)
	for _, name := range []string{"ranking.csv", "ranking.parquet", "rejects.csv"} {
		if x[name] != y[name] {
			t.Errorf("%s differs", name)
		}
	}
	if a.out == b.out || !strings.Contains(b.out, "kBtu/(ft²·a)") || strings.Contains(b.out, "saves, kWh") || strings.Contains(a.out, "kBtu") {
		t.Error("the tables are not in the units asked for")
	}
	if s := call(t, t.Context(), "screen", demo, "--out", ip, "--units", "imperial"); s.code != exitUsage || !strings.Contains(s.err, "si, ip") {
		t.Errorf("exit code %d: %s", s.code, s.err)
	}
	list := call(t, t.Context(), "list", "materials", "--set", "output.units=ip")
	if d := cmp.Diff(call(t, t.Context(), "list", "materials").out, list.out); d != "" {
		t.Error("a table of the configuration changed its units:", d)
	}
}

// The wall of demo home HX-0116 is 0.35 m: 13.78 in. Its station's means are
// printed in °F.
func TestExplainInInchPound(t *testing.T) {
	t.Setenv("WALLSIFT_RUN_TIER", "steady") // the question is not one of the tier
	s := call(t, t.Context(), "explain", demo, "--building", "HX-0116", "--units", "ip", "--format", "csv")
	if s.code != exitDone {
		t.Fatal(s.err)
	}
	for _, want := range []string{"wall thickness,13.78 in\n", "outside, °F", "R, h·ft²·°F/Btu", "U after, Btu/(h·ft²·°F)"} {
		if !strings.Contains(s.out, want) {
			t.Errorf("%q is not in\n%s", want, s.out)
		}
	}
	for _, not := range []string{"°C", "W/(m·K)", "m²·K/W"} {
		if strings.Contains(s.out, not) {
			t.Errorf("%q is left", not)
		}
	}
}
