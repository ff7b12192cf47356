package screen

import (
	"cmp"
	"fmt"
	"maps"
	"runtime"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/material"
	"wallsift/model/sampling"
	"wallsift/model/simulate"
	"wallsift/model/transient"
)

// Engine judges buildings. It is made once from a configuration and then only
// read; any number of goroutines may use it, each with its own Worker.
type Engine struct {
	cfg        *config.Config
	materials  map[string]*material.Material
	zones      []*zone
	zoneOf     map[string]*zone
	outer      []config.Finish // by level of outer_finish
	inner      []config.Finish // by level of inner_finish
	gates      []config.Gate   // in order of id
	steps      []config.Step   // in the order of work
	stages     config.Stages
	repairs    uint64 // those of them that mend the wall, by index
	strategies []strategy
	choices    []config.Strategy // the rows of these, and WallByWall
	limits     indicator.Limits  // of both tiers
	places     simulate.Places
	splash     float64          // share of the driving rain that does not stay on the face
	rainLoad   material.Range   // factor on what does
	leaks      []material.Range // share of the rain behind the face, by level of joint_condition
	skinLeak   material.Range   // likewise, behind an impregnated or film-coated face with sound joints
	leakDepth  float64          // m
	treated    float64          // m
	baseRate   float64          // share of standing homes with such damage
	looksMiss  float64          // share of looks that miss it
	// provenBefore is the year of building from which standing proves nothing.
	provenBefore float64
	priors       [ingest.NumCategories]*prior
	dims         int         // of a draw
	draws        [][]float64 // the same for every home
	compiled     simulate.Materials
	// Keeper, if not nil, gives what was found before, and is given what is new.
	Keeper Keeper
	// Notes say what was filled in or chosen in weather files.
	Notes []string
}

// NewEngine compiles a configuration. It fails when the configuration names
// something that inventory or model do not have.
func NewEngine(l *config.Loaded) (*Engine, error) {
	if err := l.CheckFields(inventoryFields()); err != nil {
		return nil, err
	}
	cfg := &l.Config
	e := &Engine{cfg: cfg, zoneOf: map[string]*zone{}, materials: map[string]*material.Material{}}
	for id, m := range material.Resolve(cfg.Materials) {
		e.materials[id] = &m
	}
	for _, step := range []func() error{e.compileZones, e.compileFinishes, e.compileRules, e.readLimits, e.compilePriors} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	e.draws = sampling.Points(cfg.Chance.Draws, e.dims, uint64(cfg.Run.Seed))
	return e, nil
}

// numerics are how finely a case is run; model/transient/README.md holds them
// against finer ones.
type numerics uint8

const (
	quick numerics = iota // by two days: to search with, and for draws
	fine                  // as the configuration has it: for what is told, and near a limit
)

// How near a wall must be to its yearly state, in relative humidity and filling:
// in the typical case, which draws start from, and in a draw.
const (
	closeEnough   = 0.01
	closeForDraws = 0.02
)

// quickOff is how far a quick run may be off near a limit, as a share of it: choices of
// this tool, after TestQuickDrawsAgainstFineOnes and model/transient/README.md.
func quickOff(id indicator.ID) float64 {
	switch id {
	case indicator.TimberHumidity:
		return 0.015
	case indicator.SurfaceMould, indicator.ColdFaceMould:
		return 1.0 / 3
	}
	return 0.2
}

// A quick run has fewer cells and goes by two days: choices of this tool, raced in
// model/transient/README.md.
const (
	quickCells = 0.7 // of the cells
	quickHours = 48
)

// numerics are the settings of a run.
func (e *Engine) numerics(by numerics, draw bool) simulate.Settings {
	n := e.cfg.Engine
	s := simulate.Settings{Cells: n.Cells, Settle: transient.Gather{Hours: n.SettleBlockHours}, Judge: transient.Gather{Hours: n.BlockHours}, Tolerance: n.Tolerance, Years: n.MaxYears, CloseEnough: closeEnough}
	if draw {
		s.CloseEnough = closeForDraws
	}
	if by == quick {
		s.Cells = max(10, int(quickCells*float64(s.Cells)))
		s.Settle = transient.Gather{Hours: quickHours, Rain: true}
		s.Judge = s.Settle
		s.Tolerance *= 3
	}
	return s
}

func (e *Engine) workers() int {
	return cmp.Or(e.cfg.Run.Workers, runtime.GOMAXPROCS(0))
}

// Config is the configuration in force. It must not be changed.
func (e *Engine) Config() *config.Config { return e.cfg }

// compileZones makes one zone of every zone word and of every station id.
func (e *Engine) compileZones() error {
	rows := config.InOrder(e.cfg.Zones)
	for _, s := range config.InOrder(e.cfg.Stations) {
		rows = append(rows, config.Zone{ID: s.ID, Label: s.Label, Station: s.ID})
	}
	read := map[string]*weather{} // by station: several zones may share one
	for _, row := range rows {
		s := e.cfg.Stations[row.Station]
		if e.zoneOf[row.ID] != nil {
			return fmt.Errorf("stations.%s: a zone has the same id", row.ID)
		}
		z := &zone{Zone: row, station: &s}
		if path := s.WeatherFile; path != "" && e.cfg.Run.Tier != config.TierSteady {
			if read[s.ID] == nil {
				w, err := readWeather(path, &s, uint64(e.cfg.Run.Seed))
				if err != nil {
					return err
				}
				read[s.ID], e.Notes = w, append(e.Notes, w.notes...)
			}
			z.given = read[s.ID]
			z.given.Zones = append(z.given.Zones, row.ID)
		}
		e.zones, e.zoneOf[row.ID] = append(e.zones, z), z
	}
	return nil
}

func (e *Engine) compileFinishes() error {
	for field, to := range map[ingest.Category]*[]config.Finish{ingest.OuterFinish: &e.outer, ingest.InnerFinish: &e.inner} {
		for _, word := range field.Levels() {
			var ids []string
			for _, f := range config.InOrder(e.cfg.Finishes) {
				if f.Field == field.Name() && f.Level == word {
					ids = append(ids, f.ID)
				}
			}
			if len(ids) != 1 {
				return fmt.Errorf("finishes: the word %s of %s has the rows %v; expected one", word, field.Name(), ids)
			}
			*to = append(*to, e.cfg.Finishes[ids[0]])
		}
	}
	return nil
}

// readLimits takes every limit, for both tiers, and the evidence.
func (e *Engine) readLimits() error {
	l, p := &e.limits, &e.places
	for id, to := range map[string]any{
		"surface_rh_max": &l.SurfaceRH, "rsi": &l.Rsi, "rsi_mould": &l.RsiMould, "rse": &l.Rse, "slice_r_max": &l.SliceR,
		"condensate_max": &l.Condensate, "condensate_nonabsorbent_max": &l.CondensateNonabsorbent, "absorbent_a_w_min": &l.AbsorbentAw,
		"timber_rh_at_0c": &l.Timber.RH0, "timber_rh_at_30c": &l.Timber.RH30,
		"rain_w_high": &l.RainWHigh, "rain_w_medium": &l.RainWMedium, "rain_sd_max": &l.RainSdMax, "rain_w_sd_max": &l.RainWSdMax,
		"rain_load_medium_from": &l.RainMediumFrom, "rain_load_high_from": &l.RainHighFrom,
		"wet_front_share_max": &l.WetFrontShare, "frost_depth": &l.FrostDepth, "frost_zone": &l.FrostZone, "frost_cycles_min": &l.FrostCyclesMin,
		"mould_index_surface_max": &l.MouldSurface, "mould_index_cavity_max": &l.MouldCold, "timber_moisture_max": &l.TimberMoisture,
		"timber_activation_max": &l.TimberActivation, "air_leak_wetting": &l.AirLeak, "frost_cycles_more_max": &l.FrostMore,
		"timber_depth_joist_ends": &p.Timber[depthJoists], "timber_depth_lintels": &p.Timber[depthLintels], "timber_depth_bond_timbers": &p.Timber[depthBonds],
		"wet_fill": &p.WetFilling, "solar_absorptivity": &p.Absorptivity,
		"joint_leak_depth": &e.leakDepth, "treated_depth": &e.treated, "rain_splash": &e.splash, "rain_load": &e.rainLoad,
		"joint_leak_share_skinned": &e.skinLeak,
		"damage_base_rate":         &e.baseRate, "look_misses_decay": &e.looksMiss, "proven_before": &e.provenBefore,
	} {
		row, ok := e.cfg.Limits[id]
		if !ok {
			row = e.cfg.Evidence[id] // neither can be dropped
		}
		switch to := to.(type) {
		case *float64:
			*to = row.Value
		case *material.Range:
			*to = row.Range()
		}
	}
	if l.Timber.RH30 > l.Timber.RH0 {
		return fmt.Errorf("limits.timber_rh_at_30c: %g is above timber_rh_at_0c, %g; timber stands less damp the warmer it is", l.Timber.RH30, l.Timber.RH0)
	}
	p.Frost, p.CornerRsi = l.FrostDepth, l.RsiMould
	for _, word := range ingest.JointCondition.Levels() {
		leak, worn := e.cfg.Limits["joint_leak_share_"+word]
		if !worn { // unknown joints are judged as put right
			leak = e.cfg.Limits["joint_leak_share"]
		}
		e.leaks = append(e.leaks, leak.Range())
	}
	return nil
}

// hourlyBatch is the most rows of a batch when the transient tier judges: a batch
// is one worker's load, and hourly cases take their time.
const hourlyBatch = 4

// InputOptions returns how inventories are to be read under the configuration.
func (e *Engine) InputOptions() ingest.Options {
	in := &e.cfg.Input
	opt := ingest.Options{Columns: in.ColumnMap(), Aliases: in.AliasMap(), MaxRecord: in.MaxRecordBytes, BatchRows: in.BatchRows, Withhold: e.cfg.Output.Withhold}
	if e.cfg.Run.Tier != config.TierSteady {
		opt.BatchRows = min(opt.BatchRows, hourlyBatch)
	}
	if r := []rune(in.Delimiter); len(r) == 1 {
		opt.Delimiter = r[0]
	}
	for _, id := range slices.Sorted(maps.Keys(e.materials)) {
		if m := e.materials[id]; m.IsMasonry() {
			opt.Stones = append(opt.Stones, ingest.Term{ID: id, Label: m.Label})
		}
	}
	for _, z := range e.zones {
		opt.Zones = append(opt.Zones, ingest.Term{ID: z.ID, Label: z.Label})
	}
	return opt
}
