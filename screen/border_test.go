package screen

import (
	"errors"
	"math/bits"
	"testing"

	"pgregory.net/rapid"

	"wallsift/model/indicator"
)

// The border is found whatever is known of it, in one question where the steps
// beyond what is known all keep the limits, or none does after one that is known not
// to, and else in the few that halving takes.
func TestBorder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "steps")
		keeps := rapid.IntRange(0, n).Draw(t, "keeps")
		from := rapid.IntRange(0, keeps).Draw(t, "from")
		to := rapid.IntRange(keeps, n).Draw(t, "to")
		asked := 0
		got, by, err := border(from, to, n, indicator.Frost, func(k int) (bool, indicator.ID, error) {
			asked++
			if k < from || k >= to {
				t.Fatalf("asked for step %d, known are those below %d and from %d", k, from, to)
			}
			return k >= keeps, indicator.TimberDecay, nil
		})
		if err != nil || got != keeps {
			t.Fatalf("%d steps keep the limits, found %d, %v", keeps, got, err)
		}
		most := 1 + bits.Len(uint(to-from))
		if to == n && keeps == n || to < n && keeps == from {
			most = 1
		}
		if asked > most {
			t.Fatalf("asked %d times of %d to %d", asked, from, to)
		}
		want := indicator.TimberDecay
		if keeps == to {
			want = indicator.Frost // nothing that was asked exceeded it
		}
		if by != want {
			t.Fatalf("limited by %v, expected %v", by, want)
		}
	})
	broken := errors.New("broken")
	if _, _, err := border(0, 3, 1, 0, func(int) (bool, indicator.ID, error) { return false, 0, broken }); !errors.Is(err, broken) {
		t.Errorf("an error that was met became %v", err)
	}
}
