package report

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// ManifestJSON is the name of the run manifest.
const ManifestJSON = "run.json"

// Manifest says what a run was made from and what came out. It holds no time
// and no worker count, so that equal runs have equal manifests.
type Manifest struct {
	Schema  int    `json:"schema"`
	Version string `json:"version"`
	// Revision is that of the source the command was built from, "" where the
	// build does not know it; Go is the compiler.
	Revision   string `json:"revision,omitempty"`
	Go         string `json:"go"`
	Tier       string `json:"tier"`
	Method     string `json:"method"`
	Weather    string `json:"weather"`
	EngineRuns int    `json:"engine_runs"`
	// Draws of what is not known, over Drawn judgements; Near of them may lie on
	// the other side of a threshold after the last draw.
	Draws         int                       `json:"draws"`
	Drawn         int                       `json:"judgements_drawn"`
	Near          int                       `json:"judgements_near_a_threshold"`
	Seed          int                       `json:"seed"`
	Inventories   []ingest.Input            `json:"inventories"`
	WeatherFiles  []screen.WeatherFile      `json:"weather_files"`
	Configuration string                    `json:"configuration_sha256"`
	Sources       []config.Source           `json:"configuration_sources"`
	Verdicts      map[string]map[string]int `json:"verdicts"`
	Labels        map[string]string         `json:"strategy_labels"`
	Notes         []string                  `json:"notes"`
	Ranking       string                    `json:"ranking_rule"`
	Caution       string                    `json:"caution"`
	TierCaution   string                    `json:"tier_caution"`
	Summary       Summary                   `json:"summary"`
	// Settings is every value that can move a figure, by key path: a word, a number,
	// a list of them, or null. It stands last because it is long.
	Settings map[string]any `json:"settings"`
	// RankingSHA256 is the hash of the ranking.parquet that belongs to it, ""
	// where there is none.
	RankingSHA256 string `json:"ranking_parquet_sha256,omitempty"`
	// Files are the result files that were written, beside rejects.csv and this one.
	Files []string `json:"files"`
}

// Summary is a run in a few numbers.
type Summary struct {
	Homes    int `json:"homes"` // that were screened
	Walls    int `json:"walls"` // rows of homes that have one for each wall
	Rejected int `json:"rejected_rows"`
	Unread   int `json:"unread_files"` // not read to their end
	// Best counts homes by the verdict of their best strategy.
	Best map[string]int `json:"best_by_verdict"`
	// SavedKWh is the heat a year that the best strategies save which are suited or
	// suited after repairs, at SavedAt homes: those whose wall area is given.
	SavedKWh float64 `json:"saved_kwh_a"`
	SavedAt  int     `json:"saved_at_homes"`
}

// Summarise sums a run up.
func Summarise(run *screen.Run) Summary {
	s := Summary{Homes: run.Counts.Accepted, Walls: run.Counts.Walls, Rejected: run.Counts.Rejected, Unread: run.Counts.BrokenFiles,
		Best: map[string]int{}, SavedKWh: math.Round(run.Together), SavedAt: run.Measured}
	for v := range screen.NumVerdicts {
		s.Best[v.String()] = run.BestBy[v]
	}
	return s
}

// NewManifest sums up a run.
func NewManifest(version string, l *config.Loaded, e *screen.Engine, run *screen.Run, notes []string) *Manifest {
	m := &Manifest{
		Schema: Schema, Files: Files(&e.Config().Output, run.Counts.Accepted), Summary: Summarise(run), Version: version, Tier: l.Config.Run.Tier, Seed: l.Config.Run.Seed,
		Configuration: l.Fingerprint(), Sources: moving(l), Inventories: run.Source.Inputs(), Verdicts: map[string]map[string]int{}, Labels: map[string]string{},
		Notes: notes, Ranking: screen.RankingRule, Caution: Caution, TierCaution: TierCaution(l.Config.Run.Tier), Weather: l.Config.Run.Weather, Method: screen.KeeperMethod, EngineRuns: run.Cases, Draws: run.Draws, Drawn: run.Drawn, Near: run.Near,
	}
	m.WeatherFiles, m.Go, m.Revision, m.Settings = e.WeatherFiles(), runtime.Version(), revision(), settings(l)
	for i, s := range run.Choices() {
		by := map[string]int{}
		for v := range screen.NumVerdicts {
			by[v.String()] = run.Verdicts[i][v]
		}
		m.Verdicts[s.ID], m.Labels[s.ID] = by, s.Label
	}
	return m
}

// unmoving are settings that change no byte of a result.
var unmoving = []string{"run.workers", "output.dir", "output.format", "output.top"}

// moving are the sources of the configuration without those that set nothing else.
func moving(l *config.Loaded) []config.Source {
	of := map[string][]string{} // keys by source
	for key, source := range l.Origins {
		of[source] = append(of[source], key)
	}
	return slices.DeleteFunc(slices.Clone(l.Sources), func(s config.Source) bool {
		keys := of[s.String()]
		return len(keys) > 0 && !slices.ContainsFunc(keys, func(k string) bool { return !slices.Contains(unmoving, k) })
	})
}

// revision names the source the command was built from, as far as the compiler
// was told.
func revision() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	of := map[string]string{}
	for _, s := range info.Settings {
		of[s.Key] = s.Value
	}
	if name := of["vcs.revision"]; name != "" && of["vcs.modified"] == "true" {
		return name + " with changes"
	}
	return of["vcs.revision"]
}

// HashFile returns the SHA-256 of a file in hexadecimal.
func HashFile(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// Write writes the manifest to dir, beside the ranking that it belongs to.
func (m *Manifest) Write(dir string) error {
	sum, err := HashFile(filepath.Join(dir, RankingParquet))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("hashing %s: %w", RankingParquet, err)
	}
	m.RankingSHA256 = sum
	b, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return fmt.Errorf("writing %s: %w", ManifestJSON, err)
	}
	return os.WriteFile(filepath.Join(dir, ManifestJSON), append(b, '\n'), 0o644)
}

// settings lists every value of the configuration that can move a figure of a
// building whose facts stay the same: key path → value as JSON has it. Left out are how
// inventories are read, what only says where results go and how fast, words for
// people, what programmes are made by, weather files, whose contents have hashes of
// their own, and what the manifest names by itself (tier, seed, weather).
func settings(l *config.Loaded) map[string]any {
	out, apart := map[string]any{}, []string{"input", "run", "output", "stages", "findings", "glossary", "programme", "costs"}
	for section, values := range l.Values() {
		if !slices.Contains(apart, section) {
			flatten(out, section, values)
		}
	}
	return out
}

// idle are the fields of rows that move no figure.
var idle = map[string]bool{"label": true, "summary": true, "reason": true, "source": true, "unit": true, "stage": true, "builds": true, "weather_file": true}

func flatten(out map[string]any, at string, value any) {
	m, ok := value.(map[string]any)
	if !ok {
		out[at] = value
		return
	}
	for name, v := range m {
		if strings.Contains(at, ".") && idle[name] { // a field of a row
			continue
		}
		flatten(out, at+"."+name, v)
	}
}
