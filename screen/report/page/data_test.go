package page

import (
	"encoding/json"
	"math"
	"testing"
)

func TestRow(t *testing.T) {
	b, err := json.Marshal([]any{rounded(-0.04, 1), rounded(1.26, 1), rounded(math.NaN(), 1), rounded(math.Inf(1), 1), []any{}, "</script>"})
	if err != nil {
		t.Fatal(err)
	}
	if want := `[0,1.3,null,null,[],"\u003c/script\u003e"]`; string(b) != want {
		t.Errorf("%s, want %s", b, want)
	}
}

// What is equal has one place, whatever it is.
func TestPool(t *testing.T) {
	p := pool{at: map[string]int{}}
	for k, x := range []any{"a", []int{1, 2}, nil, "b"} {
		if first, again := p.place(x), p.place(x); first != k || again != k {
			t.Errorf("%v is at %d and %d, want %d", x, first, again, k)
		}
	}
	if b, err := json.Marshal(p.all); err != nil || string(b) != `["a",[1,2],null,"b"]` {
		t.Errorf("%s, %v", b, err)
	}
}
