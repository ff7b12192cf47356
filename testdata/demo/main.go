// Command demo writes the demonstration inventory, testdata/demo.csv and its
// copy testdata/demo.parquet. Run it from the root of the module:
//
//	go run ./testdata/demo
//
// Everything in it is invented: the island of Hexmark, its settlements and
// streets, the housing association that keeps the list, and every home on it.
// The coordinates lie in the open ocean. The spread of walls, finishes and
// conditions is what such a list may look like (common practice, no source);
// no number here is a survey result and none may be used as one.
//
// The draw is seeded and draws one number at a time from PCG, so that each run
// writes the same bytes. The file also carries the faults that kept-by-hand
// lists have, see flaws.go.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	out := flag.String("out", "testdata", "folder to write demo.csv and demo.parquet to")
	flag.Parse()
	if err := run(*out); err != nil {
		fmt.Fprintln(os.Stderr, "demo:", err)
		os.Exit(1)
	}
}

func run(folder string) error {
	lines := inventory()
	csv, err := csvBytes(lines)
	if err != nil {
		return err
	}
	parquet, err := parquetBytes(lines)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, "demo.csv"), csv, 0o644); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "demo.parquet"), parquet, 0o644)
}
