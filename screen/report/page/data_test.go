package page

import (
	"encoding/json"
	"math"
	"testing"

	"wallsift/model/simulate"
)

// Every half percent has a letter of its own that JSON writes as it is.
func TestAlphabet(t *testing.T) {
	seen := map[rune]bool{}
	for x := range fullCourse + 1 {
		var c [simulate.Weeks]uint8
		for i := range c {
			c[i] = uint8(x)
		}
		s := []rune(spell(c))
		if x == 0 {
			if len(s) != 0 {
				t.Error("a course that was not run is spelled")
			}
			continue
		}
		if len(s) != simulate.Weeks || seen[s[0]] {
			t.Fatalf("%d half percent: %d letters, letter taken %v", x, len(s), seen[s[0]])
		}
		seen[s[0]] = true
		if b, _ := json.Marshal(string(s[:1])); len([]rune(string(b))) != 3 {
			t.Errorf("JSON escapes the letter of %d half percent: %s", x, b)
		}
	}
}

func TestRow(t *testing.T) {
	b, err := json.Marshal([]any{scaled(-0.1, 10), scaled(1.26, 10), scaled(math.NaN(), 10), perMille(-1), perMille(0.25), []any{}, "</script>"})
	if err != nil {
		t.Fatal(err)
	}
	if want := `[-1,13,null,null,250,[],"\u003c/script\u003e"]`; string(b) != want {
		t.Errorf("%s, want %s", b, want)
	}
}
