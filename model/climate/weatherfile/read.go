package weatherfile

import (
	"bufio"
	"bytes"
	"io"

	"wallsift/model/climate/hourly"
)

// Read reads a year from an EPW or a CSV file, told apart by the first line. The
// name only labels errors and notes. See ReadEPW and ReadCSV.
func Read(name string, r io.Reader) (*hourly.Hours, *Place, error) {
	b := bufio.NewReaderSize(r, 4096)
	head, _ := b.Peek(64) // a shorter file gives what it has
	head = bytes.TrimPrefix(head, []byte("\ufeff"))
	head = bytes.TrimLeft(head, " \t\r\n\"")
	if len(head) >= 8 && bytes.EqualFold(head[:8], []byte("LOCATION")) {
		return ReadEPW(name, b)
	}
	return ReadCSV(name, b)
}
