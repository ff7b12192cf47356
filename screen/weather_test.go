package screen_test

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"wallsift/config"
	"wallsift/screen"
)

// A run names the weather files it read by what is in them, to the last byte,
// and the climates that mean their station.
func TestWeatherFilesAreNamed(t *testing.T) {
	body := "temperature_c,rh\n" + strings.Repeat("8.5,0.8\n", 8760) + "\n\n"
	path := filepath.Join(t.TempDir(), "own.csv")
	if err := os.WriteFile(path, []byte(body), 0o644); err != nil {
		t.Fatal(err)
	}
	own := userFile(t, "stations:\n  glasgow: {weather_file: "+path+"}\nzones:\n  our_hill: {label: Our hill, station: glasgow, source: invented for this test}\n")
	sum := sha256.Sum256([]byte(body))
	e := newEngine(t, map[string]any{"run.tier": config.TierTransient}, own)
	got := e.WeatherFiles()
	if len(got) != 1 {
		t.Fatalf("%+v", got)
	}
	zones := " " + strings.Join(got[0].Zones, " ") + " "
	if !strings.Contains(zones, " our_hill ") || !strings.Contains(zones, " glasgow ") || strings.Contains(zones, " seattle ") {
		t.Errorf("zones %q", zones)
	}
	want := screen.WeatherFile{Station: "glasgow", File: path, SHA256: hex.EncodeToString(sum[:]), Zones: got[0].Zones}
	if d := cmp.Diff(want, got[0]); d != "" {
		t.Error(d)
	}
	for _, n := range e.Notes { // the file does not know its latitude, the station does
		if !strings.HasPrefix(n, "station glasgow: ") || strings.Contains(n, "not known") {
			t.Errorf("note %q", n)
		}
	}
	if notes := strings.Join(e.Notes, "\n"); !strings.Contains(notes, "the place of the station was taken") || !strings.Contains(notes, "no rain;") {
		t.Errorf("notes:\n%s", notes)
	}
	// The steady tier reads none, so that none moves its results.
	if got := newEngine(t, nil, own).WeatherFiles(); got == nil || len(got) != 0 {
		t.Errorf("steady: %+v", got)
	}
}
