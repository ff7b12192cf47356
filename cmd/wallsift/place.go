package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
)

// swap exchanges two folders at once, where the system can; set by system.
var swap func(a, b string) error

// putIn has files written to a folder of their own and puts those that write names
// in place together, so that a command that stops half-way leaves the last ones as
// they were. gone are as place has them.
func putIn(dir string, write func(work string) (names, gone []string, err error)) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("making the output folder: %w; name another with --out", err)
	}
	work, tidy, err := unfinished(dir)
	if err != nil {
		return err
	}
	defer tidy()
	names, gone, err := write(work)
	if err != nil {
		return err
	}
	return place(work, dir, names, gone)
}

// place puts finished files where they belong: all of them or none. from lies in
// to's folder of unfinished results. gone are names of the last run's files that
// must not stand beside new ones.
//
// Where the system can exchange two folders in one step (Linux), the results
// appear together: files of the old folder that are not results are linked into
// the new one, then the folders change places. Elsewhere, and where the folder
// cannot be exchanged (a mount, the working folder of a shared disk), files are
// renamed one after the other; if one fails, those before it are put back, and the
// error says which files are new should even that fail.
func place(from, to string, names, gone []string) error {
	if swap != nil && placeTogether(from, to, names, gone) == nil {
		return nil
	}
	return placeEach(from, to, names, gone)
}

// placeTogether exchanges the whole folder. An error leaves it as it was.
func placeTogether(from, to string, names, gone []string) error {
	info, err := os.Lstat(to)
	if err != nil || !info.IsDir() {
		return fmt.Errorf("%s is no folder of its own", to)
	}
	to = filepath.Clean(to)
	fresh, tidy, err := unfinished(filepath.Dir(to))
	if err != nil {
		return err
	}
	defer tidy() // the new folder, or after the exchange the old one
	if err := os.Chmod(fresh, info.Mode().Perm()); err != nil {
		return err
	}
	kept, err := os.ReadDir(to)
	if err != nil {
		return err
	}
	for _, e := range kept {
		if slices.Contains(names, e.Name()) || slices.Contains(gone, e.Name()) || filepath.Join(to, e.Name()) == filepath.Clean(from) {
			continue
		}
		if !e.Type().IsRegular() {
			return fmt.Errorf("%s holds %s, which cannot be linked", to, e.Name())
		}
		if err := os.Link(filepath.Join(to, e.Name()), filepath.Join(fresh, e.Name())); err != nil {
			return err
		}
	}
	for _, name := range names {
		if err := os.Link(filepath.Join(from, name), filepath.Join(fresh, name)); err != nil {
			return err
		}
	}
	return swap(fresh, to)
}

// placeEach renames the files one by one and puts them back if one fails.
func placeEach(from, to string, names, gone []string) error {
	kept := filepath.Join(from, "before")
	if err := os.Mkdir(kept, 0o755); err != nil {
		return fmt.Errorf("putting results in place: %w", err)
	}
	var moved []string
	fail := func(name string, err error) error {
		err = fmt.Errorf("putting %s in place: %w", name, err)
		for _, done := range slices.Backward(moved) {
			back := os.Rename(filepath.Join(kept, done), filepath.Join(to, done))
			if errors.Is(back, os.ErrNotExist) { // there was none before
				back = os.Remove(filepath.Join(to, done))
			}
			if back != nil {
				err = fmt.Errorf("%w; %s is of this run, not of the last one: %w", err, done, back)
			}
		}
		return err
	}
	gone = slices.DeleteFunc(slices.Clone(gone), func(name string) bool { return slices.Contains(names, name) })
	for i, name := range slices.Concat(names, gone) {
		old := filepath.Join(to, name)
		if err := os.Rename(old, filepath.Join(kept, name)); err != nil && !errors.Is(err, os.ErrNotExist) {
			return fail(name, err)
		}
		moved = append(moved, name)
		if i >= len(names) {
			continue
		}
		if err := os.Rename(filepath.Join(from, name), old); err != nil {
			return fail(name, err)
		}
	}
	return nil
}

const unfinishedPrefix = ".unfinished-"

// errHeld says that another run holds a folder.
var errHeld = errors.New("held by another run")

// lock takes a folder for this process, until the file it returns is closed or the
// process ends in whatever way. It fails with errHeld where another holds it. Set by
// system; where none can be had, what killed runs leave behind stays.
var lock = func(dir string) (*os.File, error) { return nil, errors.ErrUnsupported }

// unfinished makes a folder in dir for results that are on their way, and removes
// those that killed runs left behind: nobody else does, and each may be as large as
// the results. A folder is one of a run as long as the run holds its lock. done
// removes the new one.
func unfinished(dir string) (work string, done func(), err error) {
	old, _ := filepath.Glob(filepath.Join(dir, unfinishedPrefix+"*"))
	for _, f := range old {
		if held, err := lock(f); err == nil {
			os.RemoveAll(f) // what cannot be removed stays
			held.Close()
		}
	}
	for {
		if work, err = os.MkdirTemp(dir, unfinishedPrefix); err != nil {
			return "", nil, fmt.Errorf("making a folder for unfinished results: %w; name another with --out", err)
		}
		held, err := lock(work)
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
