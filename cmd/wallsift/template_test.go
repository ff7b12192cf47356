package main

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
)

// A template is read back without a reject, in every kind and in every unit.
func TestTemplateIsReadBack(t *testing.T) {
	for _, name := range []string{"x.csv", "x.parquet"} {
		for _, units := range config.Units {
			t.Run(name+" "+units, func(t *testing.T) {
				path := filepath.Join(t.TempDir(), name)
				if s := call(t, t.Context(), "template", path, "--units", units); s.code != exitDone {
					t.Fatal(s.err)
				}
				s := call(t, t.Context(), "check", path, "--format", "csv")
				if s.code != exitDone || !strings.Contains(s.err, "2 rows can be screened, 0 rows rejected") {
					t.Fatalf("exit code %d: %s\n%s", s.code, s.err, s.out)
				}
				for _, c := range ingest.Columns() {
					if !strings.Contains(s.out, "used,"+c.Name+",") {
						t.Errorf("column %s was not used", c.Name)
					}
				}
				if strings.Contains(s.out, "\nown,") {
					t.Error("a column of the template is not known")
				}
			})
		}
	}
}

// The same two homes in any units: 0.600 m is 600 mm and 23.62 in (NIST SP 811:
// the inch is 0.0254 m exactly), to the four digits of the template.
func TestTemplateUnits(t *testing.T) {
	for units, want := range map[string]string{config.UnitsSI: "EXAMPLE-1,600,", config.UnitsIP: "EXAMPLE-1,23.62,"} {
		s := call(t, t.Context(), "template", "--units", units)
		if s.code != exitDone || !strings.Contains(s.out, want) {
			t.Errorf("%s: %q is not in %s%s", units, want, s.out, s.err)
		}
	}
}

func TestTemplateRowsGiveEveryColumn(t *testing.T) {
	s := call(t, t.Context(), "template")
	all, err := csv.NewReader(strings.NewReader(s.out)).ReadAll()
	if err != nil || len(all) != 3 {
		t.Fatalf("%d lines: %v", len(all), err)
	}
	columns := ingest.Columns()
	if len(all[0]) != len(columns) {
		t.Fatalf("%d columns, there are %d", len(all[0]), len(columns))
	}
	for i, c := range columns {
		if all[1][i] == "" {
			t.Errorf("the first row has nothing for %s", c.Name)
		}
	}
	example, err := csv.NewReader(strings.NewReader(templateRows)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range columns {
		if len(example[0]) != len(columns) || example[0][i] != c.Name {
			t.Fatalf("the example has %q, not the columns in their order", example[0])
		}
	}
}

func TestTemplateExplainsEveryColumn(t *testing.T) {
	path := filepath.Join(t.TempDir(), "homes.csv")
	call(t, t.Context(), "template", path)
	b, err := os.ReadFile(filepath.Join(filepath.Dir(path), "homes_columns.txt"))
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(b)), " ")
	for _, c := range ingest.Columns() {
		if words := strings.Join(c.Headers(), ", "); !strings.Contains(text, words) || !strings.Contains(text, c.Help) {
			t.Errorf("%q is not explained", words)
		}
	}
}

// Whatever is not known has a price, or it is said that it has none.
func TestEveryColumnSaysWhatItsAbsenceCosts(t *testing.T) {
	l, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, c := range ingest.Columns() {
		names[c.Name] = true
		if withoutColumn(&l.Config, &c) == "" {
			t.Errorf("nothing is said of %s; add a text to withoutFact", c.Name)
		}
	}
	for name := range withoutFact {
		if !names[name] {
			t.Errorf("withoutFact names a column %s that there is not", name)
		}
	}
}

// What absence costs follows the user's gates.
func TestAbsenceFollowsTheConfiguration(t *testing.T) {
	extra := write(t, "extra.yaml", `gates:
  salts_not_known:
    label: Salts are not known
    when: [{field: salts, in: [unknown]}]
    effect: survey
    reason: a bonded lining needs a salt test first
    source: invented for this test
strategies:
  tight_foam: {gates: [salts_not_known]}
indoor: {default_humidity_class: {low: 1}}
`)
	l, err := config.Load(config.Inputs{Files: []string{extra}})
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"salts": "survey first for: Vapour-tight foam on the stone", "humidity_class": "from class 1 to class 4"} {
		for _, c := range ingest.Columns() {
			if got := withoutColumn(&l.Config, &c); c.Name == name && !strings.Contains(got, want) {
				t.Errorf("%s: %q is not in %q", name, want, got)
			}
		}
	}
}

func TestTemplateRefuses(t *testing.T) {
	there := write(t, "mine.csv", "my work")
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"a file that exists":       {[]string{there}, "not overwritten"},
		"a folder that is missing": {[]string{filepath.Join(t.TempDir(), "no", "x.csv")}, "make the folder first"},
		"units it does not know":   {[]string{"--units", "cubits"}, "si, ip"},
		"two files":                {[]string{"a.csv", "b.csv"}, "at most 1"},
	} {
		s := call(t, t.Context(), append([]string{"template"}, c.args...)...)
		if s.code != exitUsage || !strings.Contains(s.err, c.says) {
			t.Errorf("%s: exit code %d, %s", name, s.code, s.err)
		}
	}
	if b, err := os.ReadFile(there); err != nil || string(b) != "my work" {
		t.Errorf("the file that was there holds %q", b)
	}
	// The explanation is in the way: nothing may be left half done.
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "y_columns.txt"), []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	s := call(t, t.Context(), "template", filepath.Join(dir, "y.csv"))
	if got := files(t, dir); s.code != exitUsage || len(got) != 1 || got["y_columns.txt"] != "mine" {
		t.Errorf("exit code %d, left %v", s.code, got)
	}
}
