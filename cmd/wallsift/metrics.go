package main

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"

	"wallsift/screen"
	"wallsift/screen/report"
)

// metric is a figure of a run, by verdict where several are of one name.
type metric struct {
	name, help string
	value      float64
	by         map[string]int
}

// metrics are the figures of a run; sum is nil where nothing came out, and what it
// would say is then left out, so that nobody takes a failed night for an empty one.
func metrics(sum *report.Summary, code int, seconds float64, now time.Time) []metric {
	out := []metric{
		{"wallsift_exit_code", "Exit code of the run; see wallsift help outputs.", float64(code), nil},
		{"wallsift_finished_timestamp_seconds", "When the run ended, in seconds since 1970 (UTC).", float64(now.Unix()), nil},
		{"wallsift_run_seconds", "How long the run took.", seconds, nil},
		{"wallsift_peak_memory_bytes", "Most memory the run held at once.", float64(peakMemory()), nil},
	}
	if sum == nil {
		return out
	}
	return append(out,
		metric{"wallsift_homes", "Homes that were screened.", float64(sum.Homes), nil},
		metric{"wallsift_walls", "Rows of homes that have one for each wall.", float64(sum.Walls), nil},
		metric{"wallsift_rejected_rows", "Rows that were left out; see rejects.csv.", float64(sum.Rejected), nil},
		metric{"wallsift_unread_files", "Files that could not be read to their end.", float64(sum.Unread), nil},
		metric{"wallsift_best_strategy_homes", "Homes by the verdict of their best strategy. Screening, not design.", 0, sum.Best},
		metric{"wallsift_saved_kwh_per_year", "Heat through walls that the best strategies save which are suited or suited after repairs; no fuel bill.", sum.SavedKWh, nil})
}

// printMetrics writes figures in the text format of Prometheus, version 0.0.4.
func printMetrics(w io.Writer, list []metric) {
	for _, m := range list {
		fmt.Fprintf(w, "# HELP %s %s\n# TYPE %s gauge\n", m.name, m.help, m.name)
		if m.by == nil {
			fmt.Fprintf(w, "%s %s\n", m.name, strconv.FormatFloat(m.value, 'g', -1, 64))
		}
		for v := range screen.NumVerdicts {
			if m.by != nil {
				fmt.Fprintf(w, "%s{verdict=%q} %d\n", m.name, v.String(), m.by[v.String()])
			}
		}
	}
}

// writeMetrics puts a file in place in one step: whoever collects it may read at
// any time.
func writeMetrics(path string, list []metric) error {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-")
	if err == nil {
		defer os.Remove(f.Name()) // gone where it was renamed
		w := bufio.NewWriter(f)
		printMetrics(w, list)
		err = cmp.Or(w.Flush(), f.Close())
		if err == nil {
			err = os.Chmod(f.Name(), 0o644) // others collect it
		}
		if err == nil {
			err = os.Rename(f.Name(), path)
		}
	}
	if err != nil {
		return fmt.Errorf("writing the metrics: %w; name another file with --metrics", err)
	}
	return nil
}

// peakMemory is the most memory the process held at once, in bytes: its resident
// pages where the system says so (Linux), else what the runtime took from the
// system, which never falls.
func peakMemory() int64 {
	status, _ := os.ReadFile("/proc/self/status")
	_, rest, _ := strings.Cut(string(status), "VmHWM:")
	var kB int64
	if _, err := fmt.Sscan(rest, &kB); err == nil {
		return 1024 * kB
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.Sys)
}
