package main

import (
	"fmt"
	"os"
	"path/filepath"
	"time"
)

const (
	unfinishedPrefix = ".unfinished-"
	// leftBehind is the age at which an unfinished folder that nothing was
	// written to counts as one of a run that was killed.
	leftBehind = 7 * 24 * time.Hour
)

// unfinished makes a folder in dir for results that are on their way, and
// removes those that killed runs left behind: nobody else does, and each may be
// as large as the results.
func unfinished(dir string) (string, error) {
	old, err := filepath.Glob(filepath.Join(dir, unfinishedPrefix+"*"))
	if err != nil {
		return "", err
	}
	for _, f := range old {
		if time.Since(lastWritten(f)) > leftBehind {
			os.RemoveAll(f) // what cannot be removed stays
		}
	}
	work, err := os.MkdirTemp(dir, unfinishedPrefix)
	if err != nil {
		return "", fmt.Errorf("making a folder for unfinished results: %w", err)
	}
	return work, nil
}

// lastWritten is when something in a folder was last written to; now where that
// cannot be told.
func lastWritten(dir string) time.Time {
	latest := time.Time{}
	err := filepath.WalkDir(dir, func(_ string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := d.Info()
		if err == nil && info.ModTime().After(latest) {
			latest = info.ModTime()
		}
		return err
	})
	if err != nil {
		return time.Now()
	}
	return latest
}
