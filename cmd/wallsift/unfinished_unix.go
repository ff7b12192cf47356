//go:build unix

package main

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

func init() {
	lock = func(dir string) (*os.File, error) {
		f, err := os.Open(dir)
		if err != nil {
			return nil, err
		}
		if err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB); err != nil {
			f.Close()
		}
		if errors.Is(err, unix.EWOULDBLOCK) {
			err = errHeld
		}
		return f, err
	}
}
