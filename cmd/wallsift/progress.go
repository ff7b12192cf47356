package main

import (
	"cmp"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"wallsift/screen"
)

// progress returns a bar for terminals, with rate and time left where the total
// is known, and what wipes it away. Both do nothing for anything else and where
// lines for machines must not be mixed with it.
func progress(f *os.File, machines bool) (show func(screen.Progress), clear func()) {
	if machines || !term.IsTerminal(int(f.Fd())) {
		return func(screen.Progress) {}, func() {}
	}
	var bar *progressbar.ProgressBar
	clear = func() {
		if bar != nil {
			bar.Clear() //nolint:errcheck // a bar that cannot be wiped harms nothing
		}
	}
	stage := ""
	return func(p screen.Progress) {
		if bar == nil || p.Stage != stage {
			clear()
			stage = p.Stage
			bar = progressbar.NewOptions(cmp.Or(p.Total, -1), progressbar.OptionSetWriter(f), progressbar.OptionSetDescription(stage),
				progressbar.OptionShowCount(), progressbar.OptionShowIts(), progressbar.OptionSetItsString(""), progressbar.OptionSetPredictTime(true),
				progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionClearOnFinish(), progressbar.OptionSetWidth(20))
		}
		bar.Set(p.Done) //nolint:errcheck // likewise
	}, clear
}
