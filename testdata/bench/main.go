// Command bench measures wallsift on a large inventory, made by repeating the demo
// with new ids, and beside it what DuckDB needs to read the ranking that came out,
// sort it anew, and write it as Parquet and CSV. It is a module of its own, so that
// wallsift does not depend on DuckDB. Run it here, with the command built before:
//
//	go build -C ../.. -o build/wallsift ./cmd/wallsift
//	go run . -wallsift ../../build/wallsift -rows 100000
//
// With -make it only writes the inventory, to the file named.
package main

import (
	"bufio"
	"bytes"
	"database/sql"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"time"

	_ "github.com/duckdb/duckdb-go/v2"
)

func main() {
	wallsift := flag.String("wallsift", "", "the command to measure")
	rows := flag.Int("rows", 100_000, "rows of the inventory")
	workers := flag.Int("workers", 2, "workers of wallsift, threads of DuckDB")
	files := flag.String("files", "ranking.parquet,ranking.csv", "output.files, empty for what is useful at that size")
	list := flag.String("make", "", "only write the inventory, to this file")
	flag.Parse()
	if err := run(*wallsift, *rows, *workers, *files, *list); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func run(wallsift string, rows, workers int, files, list string) error {
	if list != "" {
		return inventory(list, rows)
	}
	dir, err := os.MkdirTemp("", "bench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	list, out := filepath.Join(dir, "homes.csv"), filepath.Join(dir, "out")
	if err := inventory(list, rows); err != nil {
		return err
	}
	cmd := exec.Command(wallsift, "screen", list, "--tier", "steady", "--workers", strconv.Itoa(workers), "--set", "output.files="+files, "--out", out)
	start := time.Now()
	if said, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, said)
	}
	own := time.Since(start).Seconds()
	used := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	fmt.Printf("wallsift  %d rows, %d workers: %.1f s, %.0f rows a second, %.1f s of processor, peak %d MB\n",
		rows, workers, own, float64(rows)/own, (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds(), used.Maxrss/1024)
	if _, err := os.Stat(filepath.Join(out, "ranking.parquet")); err != nil {
		return nil
	}
	start = time.Now()
	n, err := sorted(out, dir, workers)
	if err != nil {
		return fmt.Errorf("DuckDB: %w", err)
	}
	theirs := time.Since(start).Seconds()
	fmt.Printf("DuckDB    %d rows of the ranking, %d threads: %.1f s; wallsift takes %.1f times that\n", n, workers, theirs, own/theirs)
	return nil
}

// sorted has DuckDB read the ranking, sort it by other keys than its own, and write
// it twice.
func sorted(from, to string, threads int) (rows int, err error) {
	db, err := sql.Open("duckdb", "")
	if err != nil {
		return 0, err
	}
	defer db.Close()
	for _, text := range []string{
		fmt.Sprintf("SET threads = %d", threads),
		fmt.Sprintf("SET temp_directory = '%s'", to),
		fmt.Sprintf("CREATE TEMP TABLE ranking AS SELECT * FROM '%s/ranking.parquet' ORDER BY strategy, utilisation_high, building_id", from),
		fmt.Sprintf("COPY ranking TO '%s/again.parquet' (COMPRESSION snappy)", to),
		fmt.Sprintf("COPY ranking TO '%s/again.csv' (HEADER)", to),
	} {
		if _, err := db.Exec(text); err != nil {
			return 0, err
		}
	}
	return rows, db.QueryRow("SELECT count(*) FROM ranking").Scan(&rows)
}

// inventory writes an inventory of so many rows: the demo's again and again, with
// the number of the turn behind the id.
func inventory(path string, rows int) error {
	b, err := os.ReadFile("../demo.csv")
	if err != nil {
		return err
	}
	in := csv.NewReader(bytes.NewReader(b))
	in.FieldsPerRecord = -1
	demo, err := in.ReadAll()
	if err != nil {
		return err
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer f.Close()
	to := bufio.NewWriterSize(f, 1<<20)
	w := csv.NewWriter(to)
	if err := w.Write(demo[0]); err != nil {
		return err
	}
	demo = demo[1:]
	for i := range rows {
		row := append([]string(nil), demo[i%len(demo)]...)
		row[0] = fmt.Sprintf("%s-%05d", row[0], i/len(demo))
		if err := w.Write(row); err != nil {
			return err
		}
	}
	if w.Flush(); w.Error() != nil {
		return w.Error()
	}
	if err := to.Flush(); err != nil {
		return err
	}
	return f.Close()
}
