package config_test

import (
	"errors"
	"strings"
	"testing"

	"wallsift/config"
)

// FuzzFile loads arbitrary text as a file of each type. Whatever is taken can be
// printed, read back, and means the same; all else is a list of problems, each of
// which says what was expected.
func FuzzFile(f *testing.F) {
	f.Add("a.yaml", "limits: {timber_depth: {value: 0.1, source: x}}\nrun: {seed: 4}\n---\n")
	f.Add("a.yaml", "materials: {mine: {like: brick_soft, lambda: {low: 0.3, typical: 0.5, high: 0.7}, source: x}}\nstrategies: {tight_foam: {drop: true}}\n")
	f.Add("a.json", `{"input": {"columns": [{"from": "Wall", "to": "wall_thickness_mm"}]}, "rank": {"margin_steps": [0.5, 1]}}`)
	f.Add("a.toml", "run.seed = 4\n[stations.glasgow]\ntemp = [1,2,3]\n")
	f.Fuzz(func(t *testing.T, name, text string) {
		ending := name[strings.LastIndexByte(name, '.')+1:]
		if len(text) > 1<<14 || ending != "yaml" && ending != "toml" && ending != "json" {
			return
		}
		l, err := config.Load(config.Inputs{Files: []string{write(t, "in."+ending, text)}})
		if err != nil {
			var ps config.Problems
			if !errors.As(err, &ps) || len(ps) == 0 {
				t.Fatalf("not a list of problems: %v", err)
			}
			for _, p := range ps {
				if p.Expected == "" {
					t.Errorf("it says too little: %+v", p)
				}
			}
			return
		}
		var b strings.Builder
		if err := l.WriteYAML(&b, true); err != nil {
			t.Fatal(err)
		}
		again, err := config.Load(config.Inputs{Files: []string{write(t, "again.yaml", b.String())}})
		if err != nil {
			t.Fatalf("what is printed is refused: %v", err)
		}
		if again.Fingerprint() != l.Fingerprint() {
			t.Error("what is printed means something else")
		}
	})
}

// FuzzSetting does the same with one value given on its own.
func FuzzSetting(f *testing.F) {
	f.Add("run.seed", "7")
	f.Add("rank.margin_steps", "0.5, 1,2")
	f.Add("limits.rse.value", "0x1p-4")
	f.Add("output.address", "a,,b")
	f.Fuzz(func(t *testing.T, key, value string) {
		l, err := config.Load(config.Inputs{Flags: map[string]any{key: value}})
		var ps config.Problems
		if err != nil && !errors.As(err, &ps) {
			t.Fatalf("not a list of problems: %v", err)
		}
		if err == nil && !strings.HasPrefix(l.Origins[key], "flag") {
			t.Errorf("%s is not in force", key)
		}
	})
}
