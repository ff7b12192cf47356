package weatherfile_test

import (
	"errors"
	"io"
	"strings"
	"testing"

	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
)

// endless repeats a line after a head, more of it than memory should take.
type endless struct {
	head, line string
	at, left   int
}

func (e *endless) Read(p []byte) (n int, err error) {
	for n < len(p) {
		if e.head != "" {
			c := copy(p[n:], e.head)
			e.head = e.head[c:]
			n += c
			continue
		}
		if e.left <= 0 {
			return n, io.EOF
		}
		c := copy(p[n:], e.line[e.at:])
		e.at = (e.at + c) % len(e.line)
		e.left -= c
		n += c
	}
	return n, nil
}

// A file without end is refused at a bound, with little memory.
func TestEndlessFiles(t *testing.T) {
	for name, r := range map[string]io.Reader{
		"rows":     &endless{head: "temperature_c,rh\n", line: "1,0.5\n", left: 1 << 30},
		"one line": &endless{head: "temperature_c,rh\n", line: "1,0.5,", left: 1 << 30},
		"epw":      &endless{head: "LOCATION,a,b,c,d,1,50,0,0,0\n", line: "2001,1,1,1,0,x,1,1,50,0,0,0,300,0,0,0,0,0,0,0,0,1\n", left: 1 << 30},
	} {
		if _, _, err := weatherfile.Read(name, r, &farOff); err == nil {
			t.Errorf("%s: no error", name)
		}
		if left := r.(*endless).left; left < 1<<29 {
			t.Errorf("%s: read on for long, %d bytes left", name, left)
		}
	}
}

// broken fails in the middle of a file.
type broken struct{ r io.Reader }

var errBroken = errors.New("the disk is gone")

func (b broken) Read(p []byte) (int, error) {
	n, err := b.r.Read(p)
	if err == io.EOF {
		err = errBroken
	}
	return n, err
}

func TestReadErrors(t *testing.T) {
	for name, text := range map[string]string{"epw": epwText(false, nil)[:5000], "csv": "temperature_c,rh\n1,0.5\n", "nothing": ""} {
		if _, _, err := weatherfile.Read(name, broken{strings.NewReader(text)}, &farOff); !errors.Is(err, errBroken) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// check holds whatever was read to what the reader promises.
func check(t *testing.T, h *hourly.Hours, p *weatherfile.Place, err error) {
	if err != nil {
		if h != nil || p != nil || err.Error() == "" {
			t.Fatal("hours beside an error")
		}
		return
	}
	for i, v := range [][]float64{h.Theta, h.RH, h.Wind, h.WindFrom, h.Rain, h.DirectNormal, h.Diffuse, h.Global, h.SkyTheta} {
		if v == nil && i > 1 {
			continue
		}
		if len(v) != hourly.HoursPerYear {
			t.Fatalf("series %d has %d hours", i, len(v))
		}
		for k, x := range v {
			if !(x >= -120 && x <= 1500) {
				t.Fatalf("series %d, hour %d: %v", i, k, x)
			}
		}
	}
}

// The fuzzers repeat a row to a year, so that they reach past the count of rows.
func FuzzCSV(f *testing.F) {
	f.Add("", "temperature_c,rh,rain_mm,global_w_m2", "1,0.5,0,100", uint16(8760))
	f.Add("# latitude_deg: 70\n", "temperature_c;rh_pct;wind_m_s;global_w_m2", "1,5;50;;9", uint16(8784))
	f.Add("# latitude_deg: -90\n#x", "TIME,temperature_c,rh", "2020-01-01T00:00,1,\"1\"", uint16(2))
	f.Fuzz(func(t *testing.T, head, header, row string, n uint16) {
		text := head + header + "\n" + strings.Repeat(row+"\n", min(int(n), 9000))
		h, p, err := weatherfile.Read("fuzz", strings.NewReader(text), &farOff)
		check(t, h, p, err)
	})
}

func FuzzEPW(f *testing.F) {
	f.Add("LOCATION,a,b,c,d,1,50,0,0,0", uint16(3), uint8(6), "99.9")
	f.Add("LOCATION,a,b,c,d,1,90,180,-12,0", uint16(8759), uint8(13), "1500")
	f.Add("LOCATION", uint16(0), uint8(0), "DATA PERIODS,1,4")
	good := epwText(false, nil)
	_, rest, _ := strings.Cut(good, "\n")
	lines := strings.Split(rest, "\n")
	f.Fuzz(func(t *testing.T, head string, line uint16, column uint8, cell string) {
		i := int(line) % len(lines)
		old := lines[i]
		cells := strings.Split(old, ",")
		cells[int(column)%len(cells)] = cell
		lines[i] = strings.Join(cells, ",")
		h, p, err := weatherfile.Read("fuzz", strings.NewReader(head+"\n"+strings.Join(lines, "\n")), &farOff)
		lines[i] = old
		check(t, h, p, err)
	})
}

func BenchmarkReadEPW(b *testing.B) {
	text := epwText(false, nil)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := weatherfile.Read("bench", strings.NewReader(text), &farOff); err != nil {
			b.Fatal(err)
		}
	}
}
