package ingest

import (
	"strings"
	"testing"
)

func TestSeen(t *testing.T) {
	s := NewSeen(&Source{files: []string{"a.csv", "b.parquet"}})
	for _, c := range []struct {
		b    Building
		dup  bool
		want string
	}{
		{Building{ID: "x", File: 0, Line: 5}, false, ""},
		{Building{ID: "X", File: 0, Line: 6}, false, ""}, // ids are compared as they stand
		{Building{ID: "x", File: 0, Line: 7}, true, "first seen on line 5,"},
		{Building{ID: "x", File: 1, Line: 1 << 33}, true, "first seen on line 5 of a.csv"},
		{Building{ID: "y", File: 1, Line: 1 << 33}, false, ""},
		{Building{ID: "y", File: 0, Line: 9}, true, "first seen on row 8589934592 of b.parquet"},
	} {
		r, dup := s.Check(&c.b)
		if dup != c.dup || !strings.Contains(r.Reason, c.want) {
			t.Errorf("%+v: %v %+v", c.b, dup, r)
		}
		if dup && (r.Line != c.b.Line || r.Known != c.b.ID || r.Fix == "" || r.Whole) {
			t.Errorf("reject = %+v", r)
		}
	}
}

func TestSuggest(t *testing.T) {
	known := []string{"granite", "sandstone_porous", "slate", "marble", "4A", "4C"}
	for got, want := range map[string]string{
		"granit": "granite", "Grannite": "granite", "sandstone porous": "sandstone_porous", "sandstone": "", "slat": "slate",
		"4": "", "4B": "4A", "": "", "---": "", "quartz": "", strings.Repeat("x", 1000): "", "marbel": "marble",
	} {
		if s := Suggest(got, known); s != want {
			t.Errorf("Suggest(%q) = %q, want %q", got, s, want)
		}
	}
}

func TestCatalogue(t *testing.T) {
	for c := Category(0); c < NumCategories; c++ {
		if got, ok := LookupCategory(c.Name()); !ok || got != c || c.Levels()[0] != "unknown" {
			t.Errorf("category %d: %v %v %v", c, got, ok, c.Levels())
		}
		for i, w := range c.Levels() {
			if l, ok := c.Level(w); !ok || int(l) != i {
				t.Errorf("%s: level of %q is %d %v", c.Name(), w, l, ok)
			}
		}
		if _, ok := c.Level("nonsense"); ok {
			t.Errorf("%s has a level nonsense", c.Name())
		}
	}
	for n := Number(0); n < NumNumbers; n++ {
		if got, ok := LookupNumber(n.Name()); !ok || got != n {
			t.Errorf("number %d: %v %v", n, got, ok)
		}
	}
	if _, ok := LookupCategory("height"); ok {
		t.Error("height is a category")
	}
	if _, ok := LookupNumber("salts"); ok {
		t.Error("salts is a number")
	}
	seen := map[string]string{}
	for _, c := range Columns() {
		if c.Help == "" || len(c.Headers()) == 0 {
			t.Errorf("%s has no help or header", c.Name)
		}
		for _, h := range c.Headers() {
			if other := seen[fold(h)]; other != "" {
				t.Errorf("%s belongs to %s and %s", h, other, c.Name)
			}
			seen[fold(h)] = c.Name
		}
		if c.Kind == KindNumber && !(c.Min < c.Max) {
			t.Errorf("%s has no range", c.Name)
		}
	}
}
