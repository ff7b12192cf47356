package compare

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"wallsift/screen/report"
)

// ErrFolder marks a folder that is not the output of a run.
var ErrFolder = errors.New("not the output of a run")

// folder is the output of one run.
type folder struct {
	dir      string
	manifest map[string]json.RawMessage
}

// openFolder reads run.json. Its errors wrap ErrFolder and say what to do.
func openFolder(dir string) (*folder, error) {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, bad(dir, "there is no such folder; name the folder that a run was given with --out")
	case err != nil:
		return nil, bad(dir, "it cannot be read: %v", err)
	case !info.IsDir():
		return nil, bad(dir, "this is a file; name the folder it lies in")
	}
	for _, name := range []string{report.ManifestJSON, report.RankingParquet} {
		if _, err := os.Stat(filepath.Join(dir, name)); errors.Is(err, fs.ErrNotExist) {
			return nil, bad(dir, "there is no %s in it; name the output folder of a finished run, or make one: wallsift screen INVENTORY --out %s", name, dir)
		}
	}
	b, err := os.ReadFile(filepath.Join(dir, report.ManifestJSON))
	if err != nil {
		return nil, bad(dir, "%s cannot be read: %v", report.ManifestJSON, err)
	}
	f := &folder{dir: dir}
	if err := json.Unmarshal(b, &f.manifest); err != nil {
		return nil, bad(dir, "%s is not the manifest of a run (%v); run wallsift screen again with --out %s", report.ManifestJSON, err, dir)
	}
	for _, key := range []string{"version", "configuration_sha256"} {
		if f.manifest[key] == nil {
			return nil, bad(dir, "%s has no %q, so it is not the manifest of a run; run wallsift screen again with --out %s", report.ManifestJSON, key, dir)
		}
	}
	return f, f.whole()
}

// whole checks that both files are of one run: one that was killed while it put
// them in place may leave one of each night.
func (f *folder) whole() error {
	var want string
	if json.Unmarshal(f.manifest["ranking_parquet_sha256"], &want) != nil {
		return nil // the run does not say
	}
	got, err := report.HashFile(filepath.Join(f.dir, report.RankingParquet))
	if err != nil {
		return bad(f.dir, "%s cannot be read: %v", report.RankingParquet, err)
	}
	if got != want {
		return bad(f.dir, "%s is not the one that %s is of: a run was stopped while it put its files in place, or a file was changed; run wallsift screen again with --out %s", report.RankingParquet, report.ManifestJSON, f.dir)
	}
	return nil
}

func bad(dir, format string, args ...any) error {
	return fmt.Errorf("%s is %w: %s", dir, ErrFolder, fmt.Sprintf(format, args...))
}

// inventories lists the hashes of the inventory files in order of value; ok is
// false when one is not known, such as that of the standard input.
func (f *folder) inventories() (hashes []string, ok bool) {
	var list []report.InputFile
	if json.Unmarshal(f.manifest["inventories"], &list) != nil || len(list) == 0 {
		return nil, false
	}
	for _, i := range list {
		if i.SHA256 == "" {
			return nil, false
		}
		hashes = append(hashes, i.SHA256)
	}
	slices.Sort(hashes)
	return hashes, true
}

// sameInventories says whether both runs surely read the same bytes.
func sameInventories(a, b *folder) bool {
	x, okX := a.inventories()
	y, okY := b.inventories()
	return okX && okY && slices.Equal(x, y)
}

// said is a value of run.json as people read it.
func (f *folder) said(key string) string {
	raw := f.manifest[key]
	var text string
	if json.Unmarshal(raw, &text) == nil {
		return short(text)
	}
	var b bytes.Buffer
	if json.Compact(&b, raw) != nil {
		return ""
	}
	return short(b.String())
}

// short cuts hashes to what tells them apart.
func short(s string) string {
	if len(s) == 64 && strings.Trim(s, "0123456789abcdef") == "" {
		return s[:12]
	}
	return s
}
