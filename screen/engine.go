package screen

import (
	"fmt"
	"maps"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/material"
	"wallsift/model/simulate"
)

// Engine judges buildings. It is made once from a configuration and then only
// read; any number of goroutines may use it, each with its own Worker.
type Engine struct {
	cfg        *config.Config
	stones     []*material.Material
	stoneIndex map[string]uint16
	materials  map[string]*material.Material
	zones      []*zone
	zoneIndex  map[string]uint16
	outer      []finish // by level of outer_finish
	inner      []finish // by level of inner_finish
	gates      []gate
	steps      []step
	stages     []config.Stage // in the order of work
	strategies []strategy
	coats      []*material.Material // face treatment of each strategy, nil without
	limits     indicator.Limits
	depths     [3]float64 // m, timber depth by depth class
	memo       *memo

	// The transient tier.
	priors    [ingest.NumCategories]*prior
	dims      int       // of a draw
	leaks     []float64 // share of the rain behind the face, by level of joint_condition
	leakDepth float64   // m
	treated   float64   // m
	params    simulate.Params
	settings  simulate.Settings
	compiled  simulate.Materials
	outcomes  *outcomes
	notes     []string
}

// outcomeShare is how many entries of the memo make room for one outcome of the
// transient tier, which is larger.
const outcomeShare = 4

// hourlyBatch is the most rows of a batch when the transient tier judges.
const hourlyBatch = 4

// Tiers of a run, as the configuration spells them.
const (
	tierSteady    = config.TierSteady
	tierTransient = config.TierTransient
)

// finish is a compiled config.Finish.
type finish struct {
	material  *material.Material // nil for a bare face
	thickness float64
	factor    material.Range
}

// NewEngine compiles a configuration. It fails when the configuration names
// something that inventory or model do not have.
func NewEngine(l *config.Loaded) (*Engine, error) {
	if err := l.CheckFields(inventoryFields()); err != nil {
		return nil, err
	}
	cfg := &l.Config
	e := &Engine{cfg: cfg, stoneIndex: map[string]uint16{}, zoneIndex: map[string]uint16{}, materials: map[string]*material.Material{}}
	resolved, err := material.Resolve(cfg.Materials)
	if err != nil {
		return nil, err
	}
	for _, id := range slices.Sorted(maps.Keys(resolved)) {
		m := resolved[id]
		e.materials[id] = &m
		if m.IsMasonry() {
			e.stoneIndex[id] = uint16(len(e.stones))
			e.stones = append(e.stones, &m)
		}
	}
	if err := e.compileZones(); err != nil {
		return nil, err
	}
	if err := e.compileFinishes(); err != nil {
		return nil, err
	}
	if e.gates, err = compileGates(cfg.Gates); err != nil {
		return nil, err
	}
	e.stages = cfg.StagesInOrder()
	if e.steps, err = compileSteps(cfg); err != nil {
		return nil, err
	}
	if e.strategies, err = compileStrategies(cfg, e.gates, e.steps); err != nil {
		return nil, err
	}
	if len(e.strategies) == 0 {
		return nil, fmt.Errorf("strategies: none left, at least one is needed")
	}
	for i := range e.strategies {
		var coat *material.Material
		if f := e.strategies[i].Face; f != nil {
			coat = &material.Material{ID: "face_treatment", Label: f.Label, Kind: "membrane", Sd: f.SdAdd, Source: e.strategies[i].Source}
		}
		e.coats = append(e.coats, coat)
	}
	if err := e.readLimits(); err != nil {
		return nil, err
	}
	if err := e.compilePriors(); err != nil {
		return nil, err
	}
	n := cfg.Engine
	e.settings = simulate.Settings{Cells: n.Cells, Block: n.BlockHours, Tolerance: n.Tolerance, Years: n.MaxYears}
	e.memo = newMemo(cfg.Run.MemoEntries)
	e.outcomes = newOutcomes(cfg.Run.MemoEntries / outcomeShare)
	return e, nil
}

// compileZones makes one zone of every zone word and of every station id.
func (e *Engine) compileZones() error {
	read := map[string]*weather{} // by station: several zones may share one
	add := func(id, station string) error {
		s, ok := e.cfg.Stations[station]
		if !ok {
			return fmt.Errorf("zones.%s: no station %q", id, station)
		}
		if _, taken := e.zoneIndex[id]; taken {
			return fmt.Errorf("stations.%s: a zone has the same id", id)
		}
		e.zoneIndex[id] = uint16(len(e.zones))
		z := &zone{id: id, station: &s}
		if path := e.weatherOf(station); path != "" && e.cfg.Run.Tier != tierSteady {
			if read[station] == nil {
				w, err := readWeather(path, &s, uint64(e.cfg.Run.Seed))
				if err != nil {
					return err
				}
				read[station] = w
				e.notes = append(e.notes, w.notes...)
			}
			z.given = read[station]
		}
		e.zones = append(e.zones, z)
		return nil
	}
	for _, id := range slices.Sorted(maps.Keys(e.cfg.Zones)) {
		if err := add(id, e.cfg.Zones[id].Station); err != nil {
			return err
		}
	}
	for _, id := range slices.Sorted(maps.Keys(e.cfg.Stations)) {
		if err := add(id, id); err != nil {
			return err
		}
	}
	return nil
}

func (e *Engine) compileFinishes() error {
	e.outer = make([]finish, len(ingest.OuterFinish.Levels()))
	e.inner = make([]finish, len(ingest.InnerFinish.Levels()))
	for _, id := range slices.Sorted(maps.Keys(e.cfg.Finishes)) {
		f := e.cfg.Finishes[id]
		field, list := ingest.OuterFinish, e.outer
		if f.Field == ingest.InnerFinish.Name() {
			field, list = ingest.InnerFinish, e.inner
		}
		level, _ := field.Level(f.Level)
		one := finish{material: e.materials[f.Material], thickness: f.Thickness, factor: f.AwFactor}
		if one.factor == (material.Range{}) {
			one.factor = material.Range{Low: 1, Typical: 1, High: 1}
		}
		if list[level].factor != (material.Range{}) {
			return fmt.Errorf("finishes.%s: the word %s of %s has two rows", id, f.Level, f.Field)
		}
		list[level] = one
	}
	for _, field := range []ingest.Category{ingest.OuterFinish, ingest.InnerFinish} {
		list := e.outer
		if field == ingest.InnerFinish {
			list = e.inner
		}
		for level, word := range field.Levels() {
			if list[level].factor == (material.Range{}) {
				return fmt.Errorf("finishes: no row for the word %s of %s", word, field.Name())
			}
		}
	}
	return nil
}

// readLimits takes every limit the indicators need from the limits table.
func (e *Engine) readLimits() error {
	l, p := &e.limits, &e.params
	e.leaks = make([]float64, len(ingest.JointCondition.Levels()))
	for id, to := range map[string]*float64{
		"surface_rh_max": &l.SurfaceRH, "rsi": &l.Rsi, "rsi_mould": &l.RsiMould, "rse": &l.Rse, "slice_r_max": &l.SliceR,
		"condensate_max": &l.Condensate, "condensate_nonabsorbent_max": &l.CondensateNonabsorbent, "absorbent_a_w_min": &l.AbsorbentAw,
		"timber_rh_at_0c": &l.TimberRH0, "timber_rh_at_30c": &l.TimberRH30,
		"rain_w_high": &l.RainWHigh, "rain_w_medium": &l.RainWMedium, "rain_sd_max": &l.RainSdMax, "rain_w_sd_max": &l.RainWSdMax,
		"rain_load_medium_from": &l.RainMediumFrom, "rain_load_high_from": &l.RainHighFrom,
		"wet_front_share_max": &l.WetFrontShare, "joint_leak_share": &l.LeakShare,
		"frost_depth": &l.FrostDepth, "frost_zone": &l.FrostZone, "frost_cycles_min": &l.FrostCyclesMin,
		"timber_depth_joist_ends": &e.depths[depthJoists], "timber_depth_lintels": &e.depths[depthLintels], "timber_depth_bond_timbers": &e.depths[depthBonds],
		"mould_index_surface_max": &p.MouldSurface, "mould_index_cavity_max": &p.MouldCold, "timber_moisture_max": &p.TimberMoisture,
		"timber_activation_max": &p.TimberActivation, "air_leak_wetting": &p.AirLeak, "drying_pulse": &p.Pulse, "wet_fill": &p.WetFill,
		"frost_cycles_more_max": &p.FrostMore, "solar_absorptivity": &p.Absorptivity, "joint_leak_depth": &e.leakDepth, "treated_depth": &e.treated,
		"joint_leak_share_weathered": &e.leaks[2], "joint_leak_share_open": &e.leaks[3],
	} {
		row, ok := e.cfg.Limits[id]
		if !ok {
			return fmt.Errorf("limits.%s: missing; the indicators need it", id)
		}
		*to = row.Value
	}
	e.leaks[0], e.leaks[1] = l.LeakShare, l.LeakShare // unknown joints are judged as sound
	p.TimberDepths, p.TimberRH0, p.TimberRH3 = e.depths, l.TimberRH0, l.TimberRH30
	p.Condensate, p.CondensateTight, p.AbsorbentAw = l.Condensate, l.CondensateNonabsorbent, l.AbsorbentAw
	p.WetShare, p.FrostDepth = l.WetFrontShare, l.FrostDepth
	return nil
}

// InputOptions returns how inventories are to be read under the configuration.
func (e *Engine) InputOptions() ingest.Options {
	in := &e.cfg.Input
	opt := ingest.Options{Columns: in.ColumnMap(), Aliases: in.AliasMap(), MaxRecord: in.MaxRecordBytes, BatchRows: in.BatchRows}
	if e.cfg.Run.Tier != tierSteady {
		// A batch is one worker's load; hourly cases take their time.
		opt.BatchRows = min(opt.BatchRows, hourlyBatch)
	}
	if r := []rune(in.Delimiter); len(r) == 1 {
		opt.Delimiter = r[0]
	}
	for _, id := range slices.Sorted(maps.Keys(e.stoneIndex)) {
		opt.Stones = append(opt.Stones, ingest.Term{ID: id, Label: e.materials[id].Label})
	}
	for _, z := range e.zones {
		label := z.station.Label
		if row, ok := e.cfg.Zones[z.id]; ok {
			label = row.Label
		}
		opt.Zones = append(opt.Zones, ingest.Term{ID: z.id, Label: label})
	}
	return opt
}
