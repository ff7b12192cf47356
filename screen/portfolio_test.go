package screen_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"wallsift/ingest"
	"wallsift/screen"
)

// portfolio is an invented inventory of testdata.
type portfolio struct {
	file  string
	files []string // of the configuration it is read with
	head  int      // lines before the first row
}

// The two inventories have nothing in common but what a home is.
var portfolios = []portfolio{
	{demoCSV, nil, 1},
	{"../testdata/wrzeciodom/register.csv", []string{"../testdata/wrzeciodom/register.yaml"}, 3},
}

// homes are the accepted buildings, in the order of the file.
func (p *portfolio) homes(t testing.TB) []ingest.Building {
	t.Helper()
	run := screenFiles(t, load(t, nil, p.files...), p.file).run
	var out []ingest.Building
	err := run.Each(indices(run.Ranks.Len()), func(_ uint32, row *screen.Row) error {
		b := row.Building
		b.Ranges, b.Extra = slices.Clone(b.Ranges), slices.Clone(b.Extra)
		out = append(out, b)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func indices(n int) []uint32 {
	out := make([]uint32, n)
	for i := range out {
		out[i] = uint32(i)
	}
	return out
}

// spread picks n of a list, evenly over it.
func spread[T any](list []T, n int) []T {
	var out []T
	for i := range min(n, len(list)) {
		out = append(out, list[i*len(list)/n])
	}
	return out
}

// excerpt writes an inventory of some of the homes, in the order given.
func (p *portfolio) excerpt(t testing.TB, homes []ingest.Building) string {
	t.Helper()
	all, err := os.ReadFile(p.file)
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.SplitAfter(all, []byte("\n"))
	out := slices.Concat(lines[:p.head]...)
	for i := range homes {
		out = append(out, lines[homes[i].Line-1]...)
	}
	path := filepath.Join(t.TempDir(), "excerpt.csv")
	if err := os.WriteFile(path, out, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// shuffled is a list in another order, the same on every day.
func shuffled[T any](list []T) []T {
	out := slices.Clone(list)
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(out), func(i, k int) { out[i], out[k] = out[k], out[i] })
	return out
}

// answersByID reads a run back: all that is known of each building, as text that is
// equal to the last digit when the answer is.
func answersByID(t testing.TB, r *screen.Run) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := r.Each(r.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		out[row.Building.ID] = fmt.Sprintf("%+v", row.Answer)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
