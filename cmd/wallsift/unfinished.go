package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

const unfinishedPrefix = ".unfinished-"

// errHeld says that another run holds a folder.
var errHeld = errors.New("held by another run")

// lock takes a folder for this process, until the file it returns is closed or the
// process ends in whatever way. It fails with errHeld where another holds it. Set by system; where it is nil, what killed runs leave behind stays.
var lock func(dir string) (*os.File, error)

// unfinished makes a folder in dir for results that are on their way, and removes
// those that killed runs left behind: nobody else does, and each may be as large as
// the results. A folder is one of a run as long as the run holds its lock. done
// removes the new one.
func unfinished(dir string) (work string, done func(), err error) {
	if old, err := filepath.Glob(filepath.Join(dir, unfinishedPrefix+"*")); err == nil && lock != nil {
		for _, f := range old {
			if held, err := lock(f); err == nil {
				os.RemoveAll(f) // what cannot be removed stays
				held.Close()
			}
		}
	}
	for {
		if work, err = os.MkdirTemp(dir, unfinishedPrefix); err != nil {
			return "", nil, fmt.Errorf("making a folder for unfinished results: %w; name another with --out", err)
		}
		var held *os.File
		if lock != nil {
			held, err = lock(work)
		}
		_, gone := os.Stat(work)
		if gone != nil || errors.Is(err, errHeld) {
			held.Close() // nil is none
			continue     // another run took it for one left behind, in the moment before it was locked
		}
		// A disk without locks gives no lock to other runs either.
		return work, func() {
			os.RemoveAll(work)
			held.Close()
		}, nil
	}
}
