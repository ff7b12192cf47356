package compare_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// waiting is a row with gates and work.
func waiting(r row, gates, first string) row {
	return r.with("gates", gates, "fix_first", first, "check_on_site", "timber_inspect")
}

// Facts that move no verdict are counted all the same, and so is the work that
// they call for.
func TestFactsThatMoveNoVerdict(t *testing.T) {
	var old, new []row
	for i := range 4 {
		for k, strategy := range []string{"x", "y"} {
			r := waiting(judged(fmt.Sprint("A", i), strategy, k+1, "suited", 0.5), "ground_wet", "drain").with("joint_condition", "sound")
			old = append(old, r)
			switch {
			case i == 0: // other work under both strategies, a gate under one
				r = waiting(r, "ground_wet", "drain repoint").with("joint_condition", "open")
				if strategy == "y" {
					r = r.with("gates", "ground_wet joints_open")
				}
			case i == 1: // nothing but the fact
				r = r.with("joint_condition", "open")
			case i == 2: // the fact, a verdict, and work that falls away
				r = waiting(r, "ground_wet", "").with("joint_condition", "failed", "verdict", "not suited")
			}
			new = append(new, r)
		}
	}
	got := tables(t, output(t, plain(), old...), output(t, plain(), new...), 0)
	for name, want := range map[string][][]string{
		"inputs": {
			{"any", "", "", "3", "2", "1"},
			{"joint_condition", "sound", "open", "2", "2", "1"},
			{"joint_condition", "sound", "failed", "1", "0", "0"},
		},
		"work": {
			{"any", "", "", "4", "2"},
			{"fix_first", "drain", "removed", "2", "1"},
			{"fix_first", "repoint", "added", "2", "1"},
			{"gates", "joints_open", "added", "1", "1"},
		},
	} {
		if !reflect.DeepEqual(got[name].Rows, want) {
			t.Errorf("table %s: %v, want %v", name, got[name].Rows, want)
		}
	}
	for name, want := range map[string]string{"inputs": "3 of 4 in both runs", "work": "4 of 8 rows in both runs, at 2 buildings"} {
		if s := got[name].Title; !strings.Contains(s, want) {
			t.Errorf("table %s is called %q, want %q in it", name, s, want)
		}
	}
	if want := "3 buildings have other facts; at 2 of them no verdict moved, but at 1 of these the gates or the work to be done differ."; got["inputs"].Note != want {
		t.Errorf("note %q, want %q", got["inputs"].Note, want)
	}
	if same := tables(t, output(t, plain(), old...), output(t, plain(), old...), 0); len(same["inputs"].Rows)+len(same["work"].Rows) != 0 || same["inputs"].Note+same["work"].Note != "" {
		t.Errorf("nothing differs, but: %v %v", same["inputs"], same["work"])
	}
}

// One building and one row are spoken of as one.
func TestOneOfAKind(t *testing.T) {
	r := waiting(judged("A", "x", 1, "suited", 0.5), "", "drain")
	got := tables(t, output(t, plain(), r), output(t, plain(), r.with("exposure", "moderate", "utilisation", 0.4, "fix_first", "")), 0)
	if s := got["inputs"].Note; s != "1 building has other facts; no verdict moved, but the gates or the work to be done differ there." {
		t.Errorf("facts: %q", s)
	}
	if s := got["work"].Title; s != "Gates and work that differ: 1 of 1 row in both runs, at 1 building" {
		t.Errorf("work: %q", s)
	}
	if s := got["reasons"].Title; s != "Why 1 row moved; 0 did not" {
		t.Errorf("reasons: %q", s)
	}
}

// A change that the hash alone shows is counted, though it cannot be named.
func TestFactWithoutColumn(t *testing.T) {
	r := judged("A", "x", 1, "suited", 0.5).with("inputs_sha256", "p")
	got := tables(t, output(t, plain(), r), output(t, plain(), r.with("inputs_sha256", "q")), 0)["inputs"]
	if want := [][]string{{"any", "", "", "1", "1", "0"}, {"a fact that is not in both rankings", "", "", "1", "1", "0"}}; !reflect.DeepEqual(got.Rows, want) {
		t.Errorf("%v, want %v", got.Rows, want)
	}
}

// A column of work that one ranking lacks is not compared, and that is said;
// buildings and rows of one run alone are not counted.
func TestWorkInOneRunOnly(t *testing.T) {
	a, b := judged("A", "x", 1, "suited", 0.5), judged("B", "x", 1, "suited", 0.5)
	got := tables(t, output(t, plain(), a.with("gates", "wet")), output(t, plain(), waiting(a, "wet", "drain"), waiting(b, "wet", "drain")), 0)
	if w := got["work"]; len(w.Rows) != 0 || !strings.Contains(w.Note, "fix_first, check_on_site") || strings.Contains(w.Note, "gates") {
		t.Errorf("%v, %q", w.Rows, w.Note)
	}
	if i := got["inputs"]; len(i.Rows) != 0 || !strings.Contains(i.Title, "0 of 1 in") {
		t.Errorf("%v, %q", i.Rows, i.Title)
	}
}

// The order of the work is part of it.
func TestWorkInAnotherOrder(t *testing.T) {
	r := waiting(judged("A", "x", 1, "suited", 0.5), "", "drain repoint")
	got := tables(t, output(t, plain(), r), output(t, plain(), r.with("fix_first", "repoint drain")), 0)["work"]
	if want := [][]string{{"any", "", "", "1", "1"}, {"fix_first", "(order)", "changed", "1", "1"}}; !reflect.DeepEqual(got.Rows, want) {
		t.Errorf("%v, want %v", got.Rows, want)
	}
}

// A measured fact may differ at each building in its own way: the rest is summed
// up, so that the table stays short, and nothing is lost of the count.
func TestManyValues(t *testing.T) {
	var old, new []row
	for i := range 40 {
		r := judged(fmt.Sprint("A", i), "x", 1, "suited", 0.5)
		old, new = append(old, r), append(new, r.with("wall_thickness_mm", 300.0+float64(i)))
	}
	a, b := output(t, plain(), old...), output(t, plain(), new...)
	got := tables(t, a, b, 10)["inputs"].Rows
	if want := []string{"wall_thickness_mm", "(others)", "(others)", "35", "35", "0"}; len(got) != 7 || !reflect.DeepEqual(got[1], want) {
		t.Errorf("%v, want %v second of seven", got, want)
	}
	if all := tables(t, a, b, 0)["inputs"].Rows; len(all) != 41 {
		t.Errorf("%d rows with all asked for, want 41", len(all))
	}
}
