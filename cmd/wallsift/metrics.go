package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"

	"wallsift/screen"
	"wallsift/screen/report"
)

// metrics are the figures of a run in the text format of Prometheus, version 0.0.4;
// sum is nil where nothing came out, and what it would say is then left out, so that
// nobody takes a failed night for an empty one.
func metrics(sum *report.Summary, code int, seconds float64) []byte {
	var b bytes.Buffer
	head := func(name, help string) {
		fmt.Fprintf(&b, "# HELP wallsift_%s %s\n# TYPE wallsift_%[1]s gauge\n", name, help)
	}
	add := func(name, help string, value float64) {
		head(name, help)
		fmt.Fprintf(&b, "wallsift_%s %s\n", name, strconv.FormatFloat(value, 'g', -1, 64))
	}
	add("exit_code", "Exit code of the run; see wallsift help outputs.", float64(code))
	add("finished_timestamp_seconds", "When the run ended, in seconds since 1970 (UTC).", float64(time.Now().Unix()))
	add("run_seconds", "How long the run took.", seconds)
	add("peak_memory_bytes", "Most memory the run held at once.", float64(peakMemory()))
	if sum == nil {
		return b.Bytes()
	}
	add("homes", "Homes that were screened.", float64(sum.Homes))
	add("walls", "Rows of homes that have one for each wall.", float64(sum.Walls))
	add("rejected_rows", "Rows that were left out; see rejects.csv.", float64(sum.Rejected))
	add("unread_files", "Files that could not be read to their end.", float64(sum.Unread))
	head("best_strategy_homes", "Homes by the verdict of their best strategy. Screening, not design.")
	for v := range screen.NumVerdicts {
		fmt.Fprintf(&b, "wallsift_best_strategy_homes{verdict=%q} %d\n", v.String(), sum.Best[v.String()])
	}
	add("saved_kwh_per_year",
		"Heat through walls that the best strategies save which are suited or suited after repairs; no fuel bill.", sum.SavedKWh)
	return b.Bytes()
}

// writeMetrics puts a file in place in one step: whoever collects it may read at
// any time.
func writeMetrics(path string, text []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-")
	if err == nil {
		defer os.Remove(f.Name()) // gone where it was renamed
		_, err = f.Write(text)
		if err = errors.Join(err, f.Chmod(0o644), f.Close()); err == nil { // others collect it
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
