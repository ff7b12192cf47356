package page_test

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/screen"
	"wallsift/screen/report"
)

// What only one system of units writes. Water and s_d values are SI in both.
var (
	onlySI = regexp.MustCompile(`\bmm\b|kWh|W/\(?m|m²·K|m2K/W|°C|degC|square met|\d[ \x{a0}]m(?:[^\pL\d/²]|$)|\d[ \x{a0}]m²`)
	onlyIP = regexp.MustCompile(`Btu|°F|degF|\bft\b|ft²|ft2|\d[ \x{a0}]in(?:[^\pL]|$)|square f(?:oo|ee)t|\blb/`)
)

// Every text of a page, as it stands and as its script makes it, is in one
// system of units. Sources are quotations and are left out.
func TestOneSystemOfUnits(t *testing.T) {
	for _, c := range []struct {
		name            string
		engine          func() (*config.Loaded, *screen.Engine)
		wanted, foreign *regexp.Regexp
	}{{"si", engine, onlySI, onlyIP}, {"ip", engineIP, onlyIP, onlySI}} {
		l, e := c.engine()
		d := parsed(t, written(t, screenedBy(t, l, e, demo), madeUp))
		texts := []string{text(d.all("header")[0]), text(d.all("main")[0])}
		for _, s := range d.all("script") {
			if id := attr(s, "id"); id == "book" || id == "shared" {
				var v any
				if err := json.Unmarshal([]byte(text(s)), &v); err != nil {
					t.Fatal(err)
				}
				texts = append(texts, strings.Join(textsOf(v), "\n"))
			} else if attr(s, "type") == "" {
				texts = append(texts, text(s)) // the program: it knows no unit at all
				if u := c.wanted.FindString(text(s)); u != "" {
					t.Errorf("%s: the script writes %q", c.name, u)
				}
			}
		}
		for i, s := range texts {
			s = strings.ReplaceAll(s, screen.RankingRule, "") // the score that ranks is in SI in every system
			for _, at := range c.foreign.FindAllStringIndex(s, 5) {
				t.Errorf("%s, text %d: %q", c.name, i, s[max(0, at[0]-40):min(len(s), at[1]+20)])
			}
		}
		if !c.wanted.MatchString(texts[1]) {
			t.Errorf("%s: the page has no unit of its own", c.name)
		}
	}
}

// textsOf lists every string of a JSON value but those under the key "source".
func textsOf(v any) (out []string) {
	switch v := v.(type) {
	case string:
		return []string{v}
	case []any:
		for _, x := range v {
			out = append(out, textsOf(x)...)
		}
	case map[string]any:
		for k, x := range v {
			if k != "source" {
				out = append(out, textsOf(x)...)
			}
		}
	}
	return out
}

// The figures of both pages are the same walls. Factors: NIST Special Publication
// 811 (2008), appendix B.8, from memory: Btu(IT)/ft² is 1.135653e4 J/m²,
// Btu(IT)/(h·ft²·°F) is 5.678263 W/(m²·K), the inch 0.0254 m.
func TestPagesOfBothSystemsAgree(t *testing.T) {
	var pages [2][]map[string]any
	for k, of := range []func() (*config.Loaded, *screen.Engine){engine, engineIP} {
		l, e := of()
		pages[k] = parsed(t, written(t, screenedBy(t, l, e, demo), madeUp)).rows(t)
	}
	// A figure is rounded to a step in either system.
	near := func(what string, si, ip any, factor, step float64) {
		t.Helper()
		if math.Abs(si.(float64)/factor-ip.(float64)) > (0.5+0.5/factor)*step+1e-9 {
			t.Errorf("%s: %v is not %v", what, si, ip)
		}
	}
	for k, a := range pages[0] {
		b := pages[1][k]
		if a["id"] != b["id"] {
			t.Fatalf("other buildings: %v, %v", a["id"], b["id"])
		}
		near("U", a["u"], b["u"], 5.678263, 0.001)
		for i, x := range a["list"].([]any) {
			x, y := x.(map[string]any), b["list"].([]any)[i].(map[string]any)
			near("saving", x["saved"], y["saved"], 1.135653e4*1000/3.6e6, 0.1)
			near("U with the strategy", x["u"], y["u"], 5.678263, 0.001)
			for _, same := range []string{"strategy", "rank", "chances", "high", "low", "typical", "shares", "draws", "lost"} {
				if !reflect.DeepEqual(x[same], y[same]) {
					t.Errorf("%s: %v and %v", same, x[same], y[same])
				}
			}
			for n, from := range x["stack"].([]any) {
				near("layer", from.(map[string]any)["thick"], y["stack"].([]any)[n].(map[string]any)["thick"], 25.4, 0.001)
			}
		}
	}
}

// With its script too the page says everything in inch-pound units: cards,
// drawings, matrix, plot and what screen readers hear.
func TestUnitsInChromium(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	b := chromium(t)
	l, e := engineIP()
	in := screenedBy(t, l, e, demo)
	b.open(written(t, in, madeUp), 1366, true)
	b.eval(`document.querySelectorAll("details").forEach(d => d.open = true)`)
	b.eval(`document.getElementById("canvas").focus()`)
	b.key("ArrowRight", 39)
	said := fmt.Sprint(b.eval(`[document.body.innerText, document.getElementById("canvas-say").textContent].concat(
		Array.from(document.querySelectorAll("svg text")).map(e => e.textContent), Array.from(document.querySelectorAll("[aria-label]")).map(e => e.getAttribute("aria-label"))).join("\n")`))
	said = strings.ReplaceAll(said, screen.RankingRule, "")
	for _, at := range onlySI.FindAllStringIndex(said, 5) {
		t.Errorf("the page says %q", said[max(0, at[0]-40):min(len(said), at[1]+20)])
	}
	for _, want := range []string{"kBtu/(ft²·a)", "Btu/(h·ft²·°F)", " in", "ft²", "4 in"} {
		if !strings.Contains(said, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	for _, e := range b.errors {
		t.Errorf("the console reports %s", e)
	}
}

// A strategy without insulation that is not suited is explained where it is
// counted, in the matrix and on its cards, and nowhere when it is suited.
func TestRepairsAreExplained(t *testing.T) {
	in := screened(t, demo)
	note := report.RepairsNote(in.Engine)
	if n := strings.Count(text(parsed(t, written(t, in, nil)).all("main")[0]), note); n != 1 {
		t.Errorf("the note stands %d times on the plain page", n)
	}
	s := in.Engine.Strategies()
	for i := range s {
		if s[i].Side == config.SideNone {
			in.Run.Verdicts[i][screen.NotSuited] = 0
		}
	}
	if strings.Contains(text(parsed(t, written(t, in, nil)).all("main")[0]), note) {
		t.Error("the note stands where the verdict does not")
	}
}
