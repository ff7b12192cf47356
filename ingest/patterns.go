package ingest

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// expand resolves patterns to paths.
func expand(patterns []string) ([]string, error) {
	if len(patterns) == 0 {
		return nil, fmt.Errorf("no inventory given: name a file, a folder, a glob, or - for the standard input")
	}
	var out []string
	add := func(p string) {
		if !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	for _, pat := range patterns {
		if pat == "-" {
			add(pat)
			continue
		}
		matches := []string{pat}
		if _, err := os.Stat(pat); err != nil {
			if matches, err = filepath.Glob(pat); err != nil {
				return nil, fmt.Errorf("inventory %q: the pattern is malformed: %w", pat, err)
			}
			slices.Sort(matches)
		}
		found := 0
		for _, m := range matches {
			m = filepath.Clean(m)
			inside := []string{m}
			if info, err := os.Stat(m); err == nil && info.IsDir() {
				if inside, err = folder(m); err != nil {
					return nil, err
				}
				if len(inside) == 0 && len(matches) == 1 {
					return nil, fmt.Errorf("inventory %q: the folder holds no .csv, .tsv, .txt or .parquet file", pat)
				}
			}
			for _, p := range inside {
				add(p)
				found++
			}
		}
		if found == 0 {
			return nil, fmt.Errorf("inventory %q: no such file; check the path, or quote the pattern", pat)
		}
	}
	return out, nil
}

// folder lists the inventory files directly inside a folder, by name.
func folder(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir) // sorted
	if err != nil {
		return nil, fmt.Errorf("inventory %q: %w", dir, err)
	}
	var out []string
	for _, e := range entries {
		ext := strings.ToLower(filepath.Ext(e.Name()))
		if !e.IsDir() && !strings.HasPrefix(e.Name(), ".") && slices.Contains([]string{".csv", ".tsv", ".txt", ".parquet"}, ext) {
			out = append(out, filepath.Join(dir, e.Name()))
		}
	}
	return out, nil
}
