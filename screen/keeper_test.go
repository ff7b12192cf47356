//go:build !race

package screen_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"wallsift/screen"
)

// keptAnswer is the answer of a home with four draws: few enough that no threshold
// changes how many are made.
func keptAnswer(t *testing.T, k screen.Keeper, strategies string, flags map[string]any) string {
	t.Helper()
	all := hourByHour(map[string]any{"chance.draws": 4})
	maps.Copy(all, flags)
	e := newEngine(t, all, userFile(t, strategies))
	e.Keeper = k
	b := documented()
	b.Stone = "brick_common"
	a, err := e.NewWorker().Judge(b)
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("%+v", a)
}

// A changed limit or threshold judges what was kept anew and runs nothing; one that
// shapes what a run looks at asks for new runs.
func TestChangedLimitsReuseKeptRuns(t *testing.T) {
	k := newShelf()
	first := keptAnswer(t, k, twoStrategies, nil)
	if k.puts != 1 {
		t.Fatalf("%d records of a home", k.puts)
	}
	for _, c := range []struct {
		flags         map[string]any
		moves, anewed bool
	}{
		{nil, false, false},
		{map[string]any{"limits.mould_index_surface_max.value": 1.2}, true, false},
		{map[string]any{"limits.timber_activation_max.value": 1.1}, false, false},
		{map[string]any{"limits.timber_rh_at_0c.value": 0.94}, true, false},
		{map[string]any{"chance.suited_below": 0.3}, false, false},
		{map[string]any{"chance.not_suited_above": 0.9}, false, false},
		{map[string]any{"limits.timber_depth_joist_ends.value": 0.15}, true, true},
	} {
		k.puts = 0
		got := keptAnswer(t, k, twoStrategies, c.flags)
		if (k.puts > 0) != c.anewed {
			t.Errorf("%v: %d records with new runs", c.flags, k.puts)
		}
		if moved := first != got; c.moves && !moved || c.flags == nil && moved {
			t.Errorf("%v: answers moved %v", c.flags, moved)
		}
	}
	if got := keptAnswer(t, k, twoStrategies, nil); got != first {
		t.Error("answers from what was kept differ from those of the first run")
	}
}

// A record that is cut short, is of something else or is empty is one that is not
// there.
func TestDamagedRecordsAreMisses(t *testing.T) {
	k := newShelf()
	first := keptAnswer(t, k, repairsAlone, nil)
	whole := maps.Clone(k.records)
	for name, spoil := range map[string]func([]byte) []byte{
		"cut short": func(b []byte) []byte { return b[:len(b)/2] },
		"foreign":   func([]byte) []byte { return []byte("what another program wrote") },
		"empty":     func([]byte) []byte { return nil },
		"upset":     func(b []byte) []byte { c := slices.Clone(b); c[len(c)/3] ^= 0xff; c[1] ^= 0xff; return c },
	} {
		k.puts = 0
		for key, v := range whole {
			k.records[key] = spoil(v)
		}
		if got := keptAnswer(t, k, repairsAlone, nil); got != first || k.puts != 1 {
			t.Errorf("%s: same answer %v, %d records written anew", name, got == first, k.puts)
		}
	}
}

// full is a keeper whose disk is full.
type full struct{ *shelf }

func (full) Put([32]byte, []byte) {}

// Where nothing can be kept, homes are answered all the same.
func TestFullKeeperStopsNothing(t *testing.T) {
	if got, want := keptAnswer(t, full{newShelf()}, repairsAlone, nil), keptAnswer(t, newShelf(), repairsAlone, nil); got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
