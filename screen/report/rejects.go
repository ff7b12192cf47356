package report

import (
	"path/filepath"
	"strconv"

	"wallsift/ingest"
)

// RejectsCSV is the name of the file of rows that were left out.
const RejectsCSV = "rejects.csv"

// Rejects writes rejects.csv as the run goes. It keeps the first few for the
// terminal.
type Rejects struct {
	First []ingest.Reject
	file  *csvFile
}

// RejectsHead are the columns of the file.
var RejectsHead = []string{"file", "line", "building_id", "column", "value", "reason", "fix"}

// NewRejects starts the file in dir.
func NewRejects(dir string) (*Rejects, error) {
	f, err := newCSVFile(filepath.Join(dir, RejectsCSV), RejectsHead...)
	return &Rejects{file: f}, err
}

// Add writes one reject.
func (r *Rejects) Add(x ingest.Reject) error {
	if len(r.First) < 1000 {
		r.First = append(r.First, x)
	}
	line := ""
	if x.Line > 0 {
		line = strconv.FormatInt(x.Line, 10)
	}
	for _, s := range []string{x.File, line, x.Known, x.Column, x.Value, x.Reason, x.Fix} {
		r.file.text(s, true)
	}
	return r.file.end()
}

// Close finishes the file.
func (r *Rejects) Close() error { return r.file.close() }
