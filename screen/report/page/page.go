// Package page writes report.html, the results as one page for people: it needs
// no network and no other file, works with a keyboard and a screen reader, and
// prints. It computes nothing and decides nothing; what was not judged or drawn is
// said to be so. Text from an inventory is data on the page, never markup or script.
//
// It is written in the units the run was asked for, its data too: the script
// converts nothing, and puts sentences and work lists together from
// clauses and lines of package report.
//
// The map needs no tiles: it is homes by their coordinates, to scale, homes too
// close to tell apart under one mark, so that 20,000 of them stay legible.
//
// The overview is plain HTML. Buildings are data that the page's own script reads: a
// row of values each, whose names stand once, and a pool of what rows share. A page
// whose script may not run says where else they stand.
package page

import (
	"bufio"
	"path/filepath"

	"wallsift/config"
	"wallsift/screen/report"
)

// HTML is the name of the file.
const HTML = "report.html"

// writer makes one page.
type writer struct {
	in            report.Results
	each          report.Each // Run.Each outside of tests
	out           *bufio.Writer
	strategies    []config.Strategy
	stones, zones map[string]string // labels
	names         map[string][]any  // of the values of rows
	pool          pool
	units         report.Units
}

// Write writes report.html to dir. Rows are streamed; memory holds one of them and
// what they share. The same run gives the same bytes.
func Write(dir string, in report.Results) error { return write(dir, in, in.Run.Each) }

func write(dir string, in report.Results, rows report.Each) error {
	w := &writer{in: in, each: rows, strategies: in.Run.Choices(), units: report.UnitsOf(in.Engine), names: map[string][]any{}, pool: pool{at: map[string]int{}}}
	opt := in.Engine.InputOptions()
	w.stones, w.zones = report.Labels(opt.Stones), report.Labels(opt.Zones)
	return report.WriteFile(filepath.Join(dir, HTML), func(out *bufio.Writer) error {
		w.out = out
		for _, part := range []func() error{w.shell, w.book, w.buildings, w.shared, w.script} {
			if err := part(); err != nil {
				return err
			}
		}
		return nil
	})
}
