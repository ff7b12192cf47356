package compare

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"wallsift/screen/report"
)

// rejected says, of the buildings that are asked for, why a run rejected their
// rows. A folder without a list of rejects, or with one of another shape, gives
// none.
func (f *folder) rejected(ids map[string]bool) (map[string]string, error) {
	if len(ids) == 0 {
		return nil, nil
	}
	file, err := os.Open(filepath.Join(f.dir, report.RejectsCSV))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer file.Close()
	rows := csv.NewReader(file)
	head, err := rows.Read()
	if err != nil {
		return nil, nil
	}
	id, column, value, reason := slices.Index(head, idColumn), slices.Index(head, "column"), slices.Index(head, "value"), slices.Index(head, "reason")
	if min(id, column, value, reason) < 0 {
		return nil, nil
	}
	out := map[string]string{}
	for {
		row, err := rows.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, bad(f.dir, "%s cannot be read to its end (%v); run wallsift screen again with --out %s", report.RejectsCSV, err, f.dir)
		}
		if !ids[row[id]] || out[row[id]] != "" {
			continue
		}
		out[row[id]] = row[reason]
		if row[column] != "" {
			out[row[id]] = fmt.Sprintf("%s %q: %s", row[column], row[value], row[reason])
		}
	}
}
