package page

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"

	"wallsift/config"
	"wallsift/screen"
	"wallsift/screen/report"
)

// HTML is the name of the file.
const HTML = "report.html"

// Input is what a page is made from.
type Input struct {
	Engine   *screen.Engine
	Run      *screen.Run // finished and not closed
	Manifest *report.Manifest
}

// Bounds of the page.
const (
	staticCards = 12   // cards that can be read without a script
	blockRows   = 200  // buildings in a block of details
	indexRows   = 1000 // buildings in a block of the index
	// A run of more buildings than manyRows keeps the yearly course of the first
	// fewCourses strategies of each building only: courses are most of the file.
	manyRows   = 5000
	fewCourses = 2
)

// each streams rows in order of place; it is Run.Each outside of tests.
type each func(order []uint32, f func(building uint32, row *screen.Row) error) error

// writer makes one page.
type writer struct {
	in         Input
	each       each
	out        *bufio.Writer
	strategies []config.Strategy
	words      *words
	pool       *pool
	courses    int // strategies of a building whose course is kept
	units      report.Units
	facts      []fact // by ingest.Number
	address    int    // the own column that says where a building is, -1 without
}

// Write writes report.html to dir. Rows are streamed several times; memory holds
// one block of them and the tables that rows share, whatever their number. The
// same run gives the same bytes.
func Write(dir string, in Input) error { return write(dir, in, in.Run.Each) }

func write(dir string, in Input, rows each) (err error) {
	path := filepath.Join(dir, HTML)
	f, err := os.Create(path)
	if err != nil {
		return fmt.Errorf("writing %s: %w", HTML, err)
	}
	defer func() {
		if cerr := f.Close(); err == nil && cerr != nil {
			err = fmt.Errorf("writing %s: %w", HTML, cerr)
		}
		if err != nil {
			os.Remove(path)
		}
	}()
	w := &writer{in: in, each: rows, out: bufio.NewWriterSize(f, 1<<18), strategies: in.Engine.Strategies(), words: newWords(in.Engine), pool: newPool(), units: report.UnitsOf(in.Engine)}
	w.facts = factsOf(w.units)
	w.courses = len(w.strategies)
	if in.Run.Ranks.Len() > manyRows {
		w.courses = fewCourses
	}
	if w.address, err = w.findAddress(); err != nil {
		return fmt.Errorf("writing %s: %w", HTML, err)
	}
	for _, part := range []func() error{w.shell, w.book, w.index, w.details, w.shared, w.script, w.out.Flush} {
		if err := part(); err != nil {
			return fmt.Errorf("writing %s: %w", HTML, err)
		}
	}
	return nil
}
