package page_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// mapped writes an inventory of homes at coordinates, blank where there are none.
func mapped(t *testing.T, at ...string) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,latitude,longitude,street\n")
	for i, place := range at {
		fmt.Fprintf(&b, "Home %c,470,brick_common,4C,moderate,unknown,%s,%d Mill Lane\n", 'A'+i, place, i+1)
	}
	path := filepath.Join(t.TempDir(), "mapped.csv")
	if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// places reads where the marks of the map stand, px, by what is said of them.
func (b *browser) places(t *testing.T) map[string][2]float64 {
	t.Helper()
	out := map[string][2]float64{}
	b.eval(`document.getElementById("map-canvas").focus()`)
	b.key("Home", 36)
	for range 20 {
		said := fmt.Sprint(b.eval(`document.getElementById("map-canvas-say").textContent.split(",")[0]`))
		var at [2]float64
		for k, side := range []string{"left", "top"} {
			px := fmt.Sprint(b.eval(`document.getElementById("map-canvas-ring").style.` + side))
			x, err := strconv.ParseFloat(strings.TrimSuffix(px, "px"), 64)
			if err != nil {
				t.Fatal(err)
			}
			at[k] = x
		}
		out[said] = at
		b.key("ArrowRight", 39)
	}
	return out
}

// A minute of latitude is a nautical mile, 1852 m (its old definition; from
// memory), and at 60° a minute of longitude is half of it (cos 60° = 1/2). The
// mean radius makes it 1853.2 m, within 0.1 %.
func TestMapIsToScaleInChromium(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	b := chromium(t)
	path := written(t, screened(t, mapped(t, "59.99167,179.98", "60.00833,179.98", "59.99167,-179.98667", ",")), nil)
	for _, width := range []int{390, 1366} {
		b.open(path, width, true)
		at := b.places(t)
		if len(at) != 3 {
			t.Fatalf("%d marks: %v", len(at), at)
		}
		north := at["Home A"][1] - at["Home B"][1]
		east := at["Home C"][0] - at["Home A"][0] // two minutes, over the 180th meridian
		if north < 50 || math.Abs(east/north-1) > 0.005 || math.Abs(at["Home A"][0]-at["Home B"][0]) > 0.01 {
			t.Errorf("width %d: %g px north and %g px east, expected the same", width, north, east)
		}
		var metres float64
		words := strings.Split(fmt.Sprint(b.eval(`document.getElementById("map-bar").textContent`)), "\u00a0")
		if metres, _ = strconv.ParseFloat(words[0], 64); words[1] == "km" {
			metres *= 1000
		}
		share, _ := strconv.ParseFloat(strings.TrimSuffix(fmt.Sprint(b.eval(`document.getElementById("map-bar").style.width`)), "%"), 64)
		bar := share / 100 * b.eval(`document.getElementById("map-canvas").parentElement.clientWidth`).(float64)
		if got := north * metres / bar; math.Abs(got/1852-1) > 0.003 {
			t.Errorf("width %d: a minute of latitude is %g m by the bar", width, got)
		}
	}
	b.same(`document.getElementById("map-sum").textContent.endsWith("1 of 4 homes has no coordinates and is not on the map.")`, true)
	// A click opens the card; the filter holds for the map too.
	b.key("Home", 36)
	id := b.eval(`document.getElementById("map-canvas-say").textContent.split(",")[0]`)
	b.key("Enter", 13)
	b.same(`document.activeElement.querySelector("h3 bdi").textContent`, id)
	b.eval(`(function (e) { e.value = "2 mill"; e.dispatchEvent(new Event("input")); return new Promise(r => setTimeout(r, 300)); }(document.getElementById("f-text")))`)
	if at := b.places(t); len(at) != 1 || at["Home B"] == [2]float64{} {
		t.Errorf("filtered, the map holds %v", at)
	}
	// No network, no errors.
	for _, e := range b.errors {
		t.Errorf("the console reports %s", e)
	}
}

// Homes at one place share a mark that lists them; without coordinates there is a
// sentence and no map.
func TestMapOfCrowdsInChromium(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	b := chromium(t)
	b.open(written(t, screened(t, mapped(t, "50,10", "50,10", "50,10", "50.1,10")), nil), 1366, true)
	at := b.places(t)
	if len(at) != 2 || at["3 homes"] == [2]float64{} {
		t.Fatalf("marks: %v", at)
	}
	b.key("Home", 36)
	if said := fmt.Sprint(b.eval(`document.getElementById("map-canvas-say").textContent`)); !strings.HasPrefix(said, "3 homes") {
		b.key("ArrowRight", 39)
	}
	b.key("Enter", 13)
	b.same(`document.activeElement.id`, "map-list")
	b.same(`Array.from(document.querySelectorAll("#map-list bdi")).filter(e => e.textContent.startsWith("Home")).length`, 3)
	b.eval(`document.querySelector("#map-list button").click()`)
	b.same(`document.activeElement.className`, "card")
	// The demo: a group of a town closes in, Escape goes back, no home is lost.
	in := screened(t, demo)
	b.open(written(t, in, madeUp), 1366, true)
	whole := b.eval(`document.getElementById("map-sum").textContent`)
	b.eval(`document.getElementById("map-canvas").focus()`)
	b.key("Home", 36)
	b.key("Enter", 13)
	b.same(`document.getElementById("map-sum").textContent.startsWith("Part of the map: ")`, true)
	b.key("Escape", 27)
	b.same(`document.getElementById("map-sum").textContent`, whole)
	b.open(written(t, screened(t, hostileInventory(t)), nil), 390, true)
	b.same(`document.getElementById("map-sum").textContent`, "No home has coordinates, so there is no map.")
	b.same(`document.getElementById("map-canvas").offsetHeight`, 0)
	for _, e := range b.errors {
		t.Errorf("the console reports %s", e)
	}
}

// The filter stands in the address bar and is named on paper; a link to a section
// does not lose it.
func TestFilterIsInTheAddressInChromium(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	b := chromium(t)
	in := screened(t, demo)
	n := in.Run.Counts.Accepted
	path := written(t, in, madeUp)
	b.open(path+"#?search=hx-0116&without=warning+only&readiness=nonsense", 1366, true)
	b.same(`document.getElementById("f-count").textContent`, fmt.Sprintf("1 of %d buildings.", n))
	b.same(`document.getElementById("f-v3").checked`, false)
	b.eval(`document.querySelector('.jump a[href="#cards"]').click()`)
	b.eval(`new Promise(r => setTimeout(r, 200))`)
	b.same(`decodeURIComponent(location.hash)`, "#?search=hx-0116&without=warning+only")
	b.do("Emulation.setEmulatedMedia", map[string]any{"media": "print"}, nil)
	b.same(`document.getElementById("f-said").offsetHeight > 0`, true)
	b.same(`document.getElementById("f-said").textContent.endsWith("search: hx-0116; without: warning only. It shows 1 of `+fmt.Sprint(n)+` buildings.")`, true)
	b.do("Emulation.setEmulatedMedia", map[string]any{"media": ""}, nil)
	b.eval(`document.getElementById("f-clear").click()`)
	b.same(`location.hash + document.getElementById("f-said").textContent`, "")
	b.same(`document.getElementById("f-count").textContent`, fmt.Sprintf("%d of %d buildings.", n, n))
	for _, e := range b.errors {
		t.Errorf("the console reports %s", e)
	}
}
