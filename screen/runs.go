package screen

import (
	"bytes"
	"encoding/gob"
	"fmt"
	"slices"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
)

// Keeper keeps records between runs, each under a key of its own; see
// screen/store. A record that is missing or damaged is not found, and a value that
// cannot be put is computed again: an error of Put stops nothing.
type Keeper interface {
	Get(key [32]byte) ([]byte, bool)
	Put(key [32]byte, value []byte) error
}

// KeeperMethod names what a Keeper may hold for this build.
const KeeperMethod = simulate.Method

// Keep makes the engine take what it found before from k and put new results there.
func (e *Engine) Keep(k Keeper) { e.keeper = k }

// runs holds the engine runs of one home. Outcomes are kept apart from how they
// are judged, so that a changed limit or threshold asks for no new run.
type runs struct {
	e        *Engine
	sim      *simulate.Worker
	home     [32]byte
	found    map[simulate.Key]*simulate.Outcome
	starts   map[simulate.Key]*simulate.Settled
	asked    map[simulate.Key]bool
	ran, new int
}

func (e *Engine) newRuns(sim *simulate.Worker, b *ingest.Building) *runs {
	r := &runs{e: e, sim: sim, home: homeKey(b), found: map[simulate.Key]*simulate.Outcome{},
		starts: map[simulate.Key]*simulate.Settled{}, asked: map[simulate.Key]bool{}}
	if e.keeper != nil {
		if record, ok := e.keeper.Get(r.home); ok {
			r.decode(record)
		}
	}
	return r
}

// kept is one outcome in a record, its fields encoded by name.
type kept struct {
	Key     simulate.Key
	Outcome simulate.Outcome
}

// decode takes a record; what another build wrote and this one cannot read is run
// again.
func (r *runs) decode(record []byte) {
	var list []kept
	if gob.NewDecoder(bytes.NewReader(record)).Decode(&list) != nil {
		return
	}
	for i := range list {
		r.found[list[i].Key] = &list[i].Outcome
	}
}

// close keeps what is new. Outcomes that this run did not ask for stay in the
// record: another configuration may want them tomorrow.
func (r *runs) close() error {
	if r.e.keeper == nil || r.new == 0 {
		return nil
	}
	var list []kept
	for key, o := range r.found {
		list = append(list, kept{key, *o})
	}
	slices.SortFunc(list, func(a, b kept) int { return bytes.Compare(a.Key[:], b.Key[:]) })
	var buf bytes.Buffer
	if err := gob.NewEncoder(&buf).Encode(list); err != nil {
		return fmt.Errorf("keeping results: %w", err)
	}
	// A disk that is full ends the keeping and not the run: what is not kept is found
	// again. Whoever gave the keeper asks it what is wrong.
	_ = r.e.keeper.Put(r.home, buf.Bytes())
	return nil
}

// run returns the outcome of a case that starts from the settled state of
// another, nil for none.
func (r *runs) run(c, start *simulate.Case) (*simulate.Outcome, error) {
	var from simulate.Key
	if start != nil {
		from = start.Key(simulate.Key{})
	}
	key := c.Key(from)
	if !r.asked[key] {
		r.asked[key] = true
		r.ran++
	}
	if o := r.found[key]; o != nil {
		return o, nil
	}
	var state *simulate.Settled
	if start != nil {
		if r.starts[from] == nil {
			if err := r.settle(start, from); err != nil {
				return nil, err
			}
		}
		state = r.starts[from]
	}
	o, settled, err := r.sim.Run(c, state, nil)
	if err != nil {
		return nil, err
	}
	if start == nil {
		r.starts[key] = settled
	}
	r.found[key] = &o
	r.new++
	return &o, nil
}

// settle finds a case's settled state where its outcome came from a record.
func (r *runs) settle(c *simulate.Case, key simulate.Key) error {
	o, settled, err := r.sim.Run(c, nil, nil)
	if err != nil {
		return err
	}
	r.starts[key] = settled
	if r.found[key] == nil {
		r.found[key] = &o
		r.new++
	}
	return nil
}

// caseOf lays out the case of a world under a strategy (nil: the wall as it is)
// with sized metres of insulation, facing azimuth.
func (e *Engine) caseOf(z *zone, at *world, st *strategy, sized, azimuth float64) *simulate.Case {
	c := &simulate.Case{Stone: at.props, Skin: simulate.Skin{Factor: at.passes, Depth: e.treated}, CoatUptake: at.film,
		Climate: z.mean, Year: z.judgedIn(e.cfg, at.year), Indoor: at.indoor, Azimuth: azimuth, RainCoefficient: at.uptake, Wind: at.wind, Sun: at.sun,
		LeakShare: at.leak, LeakDepth: e.leakDepth, Places: &e.places, Settings: e.settings}
	e.layers(&c.Wall, at, st, sized)
	return c
}

// question asks an outcome what a strategy is judged by.
func (e *Engine) question(st *strategy, at *world, before *simulate.Outcome) *simulate.Question {
	return &simulate.Question{Which: st.which, Limits: &e.limits, Timber: at.timber, Classes: at.depths, Before: before}
}

// timberMeasures are what a strip of bare wall at the joists takes off a lining.
var timberMeasures = []indicator.ID{indicator.TimberHumidity, indicator.TimberMoisture, indicator.TimberDecay}
