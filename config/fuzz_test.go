package config

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/viper"
)

// FuzzFile reads arbitrary text as a file of each type. What is taken can be
// printed, read back, and means the same; all else is a list of problems, each of
// which says what was expected.
func FuzzFile(f *testing.F) {
	f.Add("a.yaml", "limits: {timber_depth: {value: 0.1, source: x}}\nrun: {seed: 4}\n---\n")
	f.Add("a.yaml", "materials: {mine: {like: brick_soft, lambda: {low: 0.3, typical: 0.5, high: 0.7}, source: x}}\nstrategies: {tight_foam: {drop: true}}\n")
	f.Add("a.json", `{"input": {"columns": [{"from": "Wall", "to": "wall_thickness_mm"}]}, "rank": {"margin_steps": [0.5, 1]}}`)
	f.Add("a.toml", "run.seed = 4\n[stations.glasgow]\ntemp = [1,2,3]\n")
	f.Fuzz(func(t *testing.T, name, text string) {
		format, ok := codecs[filepath.Ext(name)]
		if len(text) > 1<<14 || !ok {
			return
		}
		raw, err := decode(format, []byte(text)) // alone first: most texts end here, and loading takes long
		if err != nil {
			return
		}
		c := checker{l: &Loaded{Origins: map[string]string{}}, merged: viper.New()}
		c.layer(Source{}, raw)
		c.section(rootSchema(), "", "", c.merged.AllSettings())
		said(t, c.problems)
		if c.unreadable {
			return
		}
		got, err := Load(Inputs{Files: []string{written(t, "in."+format, text)}})
		if err != nil {
			problems(t, err)
			return
		}
		var b strings.Builder
		if err := got.WriteYAML(&b, true); err != nil {
			t.Fatal(err)
		}
		again, err := Load(Inputs{Files: []string{written(t, "again.yaml", b.String())}})
		if err != nil {
			t.Fatalf("what is printed is refused: %v", err)
		}
		if again.Fingerprint() != got.Fingerprint() {
			t.Error("what is printed means something else")
		}
	})
}

func written(t *testing.T, name, text string) string {
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// problems holds an error to what Load promises.
func problems(t *testing.T, err error) {
	var ps Problems
	if !errors.As(err, &ps) || len(ps) == 0 {
		t.Fatalf("not a list of problems: %v", err)
	}
	said(t, ps)
}

func said(t *testing.T, ps Problems) {
	for _, p := range ps {
		if p.Expected == "" {
			t.Errorf("it says too little: %+v", p)
		}
	}
}

// FuzzSetting gives one value on its own to a setting that is there.
func FuzzSetting(f *testing.F) {
	f.Add("run.seed", "7")
	f.Add("rank.margin_steps", "0.5, 1,2")
	f.Add("limits.rse.value", "0x1p-4")
	f.Add("output.address", "a,,b")
	f.Fuzz(func(t *testing.T, key, value string) {
		s := rootSchema().at(key)
		if s == nil || !s.isLeaf() {
			return
		}
		got, err := Load(Inputs{Flags: map[string]any{key: value}})
		if err != nil {
			problems(t, err)
		} else if !strings.HasPrefix(got.Origins[key], "flag") {
			t.Errorf("%s is not in force", key)
		}
	})
}
