package main

import (
	"os"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"wallsift/screen"
)

// progress returns a bar for terminals, with rate and time left where the total
// is known, nil for anything else and where lines for machines must not be mixed
// with it, and what wipes the bar away.
func progress(f *os.File, machines bool) (show func(screen.Progress), clear func()) {
	if machines || !term.IsTerminal(int(f.Fd())) {
		return nil, func() {}
	}
	var bar *progressbar.ProgressBar
	stage := ""
	clear = func() {
		if bar != nil {
			bar.Clear() //nolint:errcheck // a bar that cannot be wiped harms nothing
		}
	}
	return func(p screen.Progress) {
		if bar == nil || p.Stage != stage {
			clear()
			stage = p.Stage
			total := p.Total
			if total == 0 {
				total = -1 // unknown
			}
			bar = progressbar.NewOptions(total, progressbar.OptionSetWriter(f), progressbar.OptionSetDescription(stage),
				progressbar.OptionShowCount(), progressbar.OptionShowIts(), progressbar.OptionSetItsString(""), progressbar.OptionSetPredictTime(true),
				progressbar.OptionThrottle(throttle), progressbar.OptionClearOnFinish(), progressbar.OptionSetWidth(20))
		}
		bar.Set(p.Done) //nolint:errcheck // likewise
	}, clear
}

// throttle is the least time between two states of the bar.
const throttle = 100e6 // ns
