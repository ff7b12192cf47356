package screen_test

import (
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

const demoCSV, demoParquet = "../testdata/demo.csv", "../testdata/demo.parquet"

// inSteady sets the steady tier where flags name none: what these tests check does
// not depend on the tier, and it is a thousand times faster.
func inSteady(flags map[string]any) map[string]any {
	out := map[string]any{"run.tier": config.TierSteady}
	maps.Copy(out, flags)
	return out
}

// load reads the defaults with some values and files over them.
func load(t testing.TB, flags map[string]any, files ...string) *config.Loaded {
	t.Helper()
	l, err := config.Load(config.Inputs{Files: files, Flags: inSteady(flags)})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// hourByHour sets the transient tier and few draws where flags do not say otherwise.
func hourByHour(flags map[string]any) map[string]any {
	out := map[string]any{"run.tier": config.TierTransient, "chance.draws": 8}
	maps.Copy(out, flags)
	return out
}

// twoStrategies leaves one lining and the repairs, to keep the engine's work small;
// fewStrategies leaves an exterior insulation too, repairsAlone neither.
const (
	twoStrategies = "strategies:\n" + dropOthers + "  exterior_rigid: {drop: true}\n"
	repairsAlone  = twoStrategies + "  interior_wool_retarder: {drop: true}\n"
	fewStrategies = "strategies:\n" + dropOthers
	dropOthers    = `  drained_cavity: {drop: true}
  capillary_active_board: {drop: true}
  insulating_lime_plaster: {drop: true}
  tight_foam: {drop: true}
`
)

// ungated drops the gates and steps of all strategies, so that the state of the
// joints reaches the physics.
const ungated = `strategies:
  repairs_only: {gates: [], steps: []}
  exterior_rigid: {gates: [], steps: []}
  interior_wool_retarder: {gates: [], steps: []}
  drained_cavity: {gates: [], steps: []}
  capillary_active_board: {gates: [], steps: []}
  insulating_lime_plaster: {gates: [], steps: []}
  tight_foam: {gates: [], steps: []}
`

func newEngine(t testing.TB, flags map[string]any, files ...string) *screen.Engine {
	t.Helper()
	e, err := screen.NewEngine(load(t, flags, files...))
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// defaults is the engine of the defaults, made once: it is only read.
var defaults = sync.OnceValue(func() *screen.Engine {
	l, err := config.Load(config.Inputs{Flags: inSteady(nil)})
	if err != nil {
		panic(err)
	}
	e, err := screen.NewEngine(l)
	if err != nil {
		panic(err)
	}
	return e
})

var defaultConfig = sync.OnceValue(func() *config.Config {
	l, err := config.Load(config.Inputs{Flags: inSteady(nil)})
	if err != nil {
		panic(err)
	}
	return &l.Config
})

func userFile(t testing.TB, yaml string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "mine.yaml")
	if err := os.WriteFile(path, []byte(yaml), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// facts are category words and the rest of a building, by column name.
type facts map[string]string

// documented is a home of which everything is known and nothing is wrong.
func documented() *ingest.Building {
	b := &ingest.Building{ID: "A-1", Stone: "granite_rubble", Zone: "4c", Line: 2}
	for i := range b.Num {
		b.Num[i] = math.NaN()
	}
	b.Num[ingest.WallThickness] = 0.610
	b.Num[ingest.Orientation] = 200
	b.Num[ingest.Storeys] = 2
	with(b, facts{
		"exposure": "moderate", "embedded_timber": "joist_ends", "protected_facade": "no", "outer_finish": "bare",
		"mortar": "lime", "joint_condition": "sound", "inner_finish": "lime_plaster", "inner_condition": "sound",
		"rainwater_goods": "sound", "ground_moisture": "dry", "salts": "none", "drain_outlet": "yes", "humidity_class": "2",
	})
	return b
}

// with sets category words and returns the building.
func with(b *ingest.Building, f facts) *ingest.Building {
	for name, word := range f {
		c, ok := ingest.LookupCategory(name)
		if !ok {
			panic("no category " + name)
		}
		level, ok := c.Level(word)
		if !ok {
			panic("no level " + word + " of " + name)
		}
		b.Cat[c] = level
	}
	return b
}

// answer is the judgements of one building by strategy, and their order.
type answer struct {
	by    map[string]screen.Judgement
	order []string
}

func (a *answer) rank(id string) int { return slices.Index(a.order, id) }

func judge(e *screen.Engine, b *ingest.Building) *answer {
	a := &answer{by: map[string]screen.Judgement{}}
	list := e.Strategies()
	got, err := e.NewWorker().Judge(b)
	if err != nil {
		panic(err) // no engine of these tests has a keeper or a weather file that could fail
	}
	for _, j := range got.Judgements {
		id := list[j.Strategy].ID
		a.by[id] = j
		a.order = append(a.order, id)
	}
	return a
}

func stepIDs(e *screen.Engine, bits uint64) []string {
	var out []string
	for _, s := range e.StepsOf(bits) {
		out = append(out, s.ID)
	}
	return out
}

// onSide lists the ids of the strategies on the given sides.
func onSide(e *screen.Engine, sides ...string) []string {
	var out []string
	for _, s := range e.Strategies() {
		if slices.Contains(sides, s.Side) {
			out = append(out, s.ID)
		}
	}
	return out
}

// zones are the climate zone words, and stones the masonry rows, of the defaults.
func zones() []string { return slices.Sorted(maps.Keys(defaultConfig().Zones)) }

func stones() []string {
	var out []string
	for _, t := range defaults().InputOptions().Stones {
		out = append(out, t.ID)
	}
	return out
}

// interiorThickness sets the sized layer of every interior strategy to one end
// of its range.
func interiorThickness(pick func(config.Thickness) float64) map[string]any {
	out := map[string]any{}
	for id, s := range defaultConfig().Strategies {
		if s.Side == config.SideInterior {
			out["strategies."+id+".thickness.typical"] = pick(s.Thickness)
		}
	}
	return out
}

func words(list []string) string { return strings.Join(list, " ") }

// shelf is a Keeper in memory.
type shelf struct {
	mu      sync.Mutex
	records map[[32]byte][]byte
	puts    int
}

func newShelf() *shelf { return &shelf{records: map[[32]byte][]byte{}} }

func (s *shelf) Get(key [32]byte) ([]byte, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	v, ok := s.records[key]
	return v, ok
}

func (s *shelf) Put(key [32]byte, value []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.records[key] = slices.Clone(value)
	s.puts++
}
