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
	Trades   *report.Trades
	Chance   config.Chance // its thresholds are drawn
}

// Bounds of the page.
const (
	blockRows = 200  // buildings in a block of details
	indexRows = 1000 // buildings in a block of the index
	// A run of more buildings than manyRows keeps the yearly course of the first
	// fewCourses strategies of each building only: courses are most of the file.
	manyRows   = 5000
	fewCourses = 2
)

// writer makes one page.
type writer struct {
	in                    Input
	each                  report.Each // Run.Each outside of tests
	out                   *bufio.Writer
	strategies            []config.Strategy
	stones, zones         []string // labels
	stoneIndex, zoneIndex map[string]int
	pool                  *pool
	courses               int // strategies of a building whose course is kept
	units                 *report.Units
}

// Write writes report.html to dir. Rows are streamed several times; memory holds
// one block of them and the tables that rows share, whatever their number. The
// same run gives the same bytes.
func Write(dir string, in Input) error { return write(dir, in, in.Run.Each) }

func write(dir string, in Input, rows report.Each) (err error) {
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
	w := &writer{in: in, each: rows, out: bufio.NewWriterSize(f, 1<<18), strategies: in.Run.Choices(), pool: &pool{}, units: report.UnitsOf(in.Engine)}
	opt := in.Engine.InputOptions()
	w.stones, w.stoneIndex = labels(opt.Stones, false)
	w.zones, w.zoneIndex = labels(opt.Zones, true)
	w.courses = len(w.strategies)
	if in.Run.Ranks.Len() > manyRows {
		w.courses = fewCourses
	}
	for _, part := range []func() error{w.shell, w.book, w.index, w.details, w.shared, w.script, w.out.Flush} {
		if err := part(); err != nil {
			return fmt.Errorf("writing %s: %w", HTML, err)
		}
	}
	return nil
}
