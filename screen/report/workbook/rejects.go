package workbook

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"

	"wallsift/screen/report"
)

const rejectsName = "Rejects"

// rejects writes the rows that were left out, as rejects.csv has them: in memory
// there are only the first.
func (b *book) rejects(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("reading %s, which must be finished first: %w", report.RejectsCSV, err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.ReuseRecord = true
	titles, err := r.Read()
	if err != nil {
		return fmt.Errorf("reading %s: %w", report.RejectsCSV, err)
	}
	var heads []head
	line := -1
	for i, name := range titles {
		h := head{title: name, user: true, width: 24}
		switch name {
		case "line":
			line = i
			h.kind, h.width = report.Whole, 10
		case "reason", "fix":
			h.wrap, h.width = true, 60
		}
		heads = append(heads, h)
	}
	s, err := b.open(rejectsName, 0, heads)
	if err != nil {
		return err
	}
	row := make([]any, len(heads))
	for {
		rec, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fmt.Errorf("reading %s: %w", report.RejectsCSV, err)
		}
		for i, text := range rec {
			row[i] = nil
			if text != "" {
				row[i] = report.Unguarded(text)
			}
			if n, err := strconv.ParseInt(text, 10, 64); i == line && err == nil {
				row[i] = n
			}
		}
		if err := s.add(row...); err != nil {
			return err
		}
	}
	return s.close()
}
