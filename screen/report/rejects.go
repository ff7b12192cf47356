package report

import (
	"bufio"
	"fmt"
	"os"
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
	f     *os.File
	w     *bufio.Writer
	buf   []byte
}

// NewRejects starts the file in dir.
func NewRejects(dir string) (*Rejects, error) {
	f, err := os.Create(filepath.Join(dir, RejectsCSV))
	if err != nil {
		return nil, fmt.Errorf("writing %s: %w", RejectsCSV, err)
	}
	r := &Rejects{f: f, w: bufio.NewWriter(f)}
	_, err = r.w.WriteString("file,line,building_id,column,value,reason,fix\n")
	return r, err
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
	r.buf = r.buf[:0]
	for i, s := range []string{x.File, line, x.Known, x.Column, x.Value, x.Reason, x.Fix} {
		if i > 0 {
			r.buf = append(r.buf, ',')
		}
		r.buf = appendText(r.buf, s, true)
	}
	r.buf = append(r.buf, '\n')
	_, err := r.w.Write(r.buf)
	return err
}

// Close finishes the file.
func (r *Rejects) Close() error {
	if err := r.w.Flush(); err != nil {
		return fmt.Errorf("writing %s: %w", RejectsCSV, err)
	}
	return r.f.Close()
}
